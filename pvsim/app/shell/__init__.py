"""What is round the regions: bar, foot, keys, the page as a whole."""
