"""The assembly: panels in space, their mates and joinery, what fits, whom it suits; brief and quote sit on it."""
