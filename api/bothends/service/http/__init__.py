"""What every request passes and every failure looks like, whatever is asked; knows no route."""
