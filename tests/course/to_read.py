"""Lessons whose words have not been looked through yet."""

TO_READ = {"darkest-hottest", "absent-diode", "unseen-wire", "snow-edge"}
