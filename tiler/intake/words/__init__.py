"""What the maker says in the pattern file, idea by idea."""
