"""What ships with the package and is served as it is, and what is written for the page from the model's tables."""
