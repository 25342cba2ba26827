// Package job reads the job file of a board: what the maker has, what the
// machine is like, and how the board is to be put back.
//
// A job file is YAML of a narrow kind: one document, plain keys, lengths with
// or without a unit, no anchors, aliases, merge keys or tags. It is parsed into
// a tree of nodes and read by the package's own strict reader, because a general
// decoder turns an empty value into 0 or 1.5 into 1, and here that moves a hole.
//
//	j, err := job.Read("fingerboard.yaml")
//	var faults *job.Problems
//	if errors.As(err, &faults) {
//		fmt.Fprint(os.Stderr, faults.Detail())
//	}
//
// All faults of a file are found in one go. Each has file, line and column, the
// dotted path of the key, what was read and what would do. What a job leaves
// out takes the value that Defaults lists.
//
// The reader refuses what cannot be: a size that is not finite, not positive or
// beyond a named bound, a corner rounder than the board is wide, a feature off
// the board. Whether a possible job makes a good jig is not decided here; that
// is what the rules of package jig are for, and Job.Pos lets them point back at
// the file.
//
// Inside a Job all lengths are millimetres, whatever the file's units.
package job
