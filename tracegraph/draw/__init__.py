"""A section as a picture: Stage and Overlay in, frozen geometry out."""
