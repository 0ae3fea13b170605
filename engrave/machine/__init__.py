"""What deals with the machine: the cache, other processes, late loading, whole writes."""
