// Package measuring holds the verbs that are run at the machine with readings: datum,
// locate and zero. They share one shape: read job and readings, judge, print text, JSON
// or a picture; only a good verdict offers something to type. It also has the pose file
// that locate writes and pocket reads.
package measuring
