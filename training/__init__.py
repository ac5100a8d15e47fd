"""The Django site: people, calls, the bench, papers and the pages that cross them."""
