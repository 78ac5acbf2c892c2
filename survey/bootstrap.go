package survey

// leastReplicates is the number of bootstrap replicates below which an interval is mostly chance.
const leastReplicates = 200
