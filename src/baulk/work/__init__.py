"""The steps of the job: the only place where store and calculation meet."""
