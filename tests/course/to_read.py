"""Lessons whose words have not been looked through yet."""

TO_READ = {"darkest-hottest", "four-deaths", "absent-diode", "unseen-wire", "snow-edge", "back-side"}
