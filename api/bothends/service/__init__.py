"""The server edge: HTTP endpoints, problem details, the front end's files, the command line.

It joins the model and the logbook; neither of them imports it. Of its folders each may import what stands above it:

    settings, qr    what a running copy is told; an address as a picture
    http            what every request passes
    wire            requests and answers as structs
    lan             how phones find and trust this machine
    solver          solves that a time bound can stop
    site            the page and what it has of the model
    plan_text       a plan on paper
    api             the endpoints
    app             puts them together
    console         what is said where it was started
    serving         sockets, servers, signals
    cli             the commands
    command, precache    what is started by name
"""
