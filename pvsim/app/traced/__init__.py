"""A measured curve on the page: opened, recognised, laid over the model, its faults ranked."""
