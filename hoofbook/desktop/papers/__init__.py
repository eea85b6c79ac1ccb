"""The place Papers: a page per paper, each with its form and the paper as it will come out, and what was made."""
