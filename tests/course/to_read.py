"""Lessons whose words have not been looked through yet."""

TO_READ = {"darkest-hottest", "unseen-wire", "snow-edge"}
