"""A day on the roof: set up, played beside the event loop, shown as a picture and as a film."""
