"""The server edge: HTTP endpoints, problem details, the front end's files, the command line.

It joins the model and the logbook; neither of them imports it.
"""
