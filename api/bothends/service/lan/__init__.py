"""How phones in the shop find this machine and come to trust it: names, certificates, the help page."""
