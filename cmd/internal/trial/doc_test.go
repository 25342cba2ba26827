// Package trial judges datum, locate, zero and the error budget from outside.
//
// Boards of which the truth is known are measured in simulation, and the commands are asked
// about them as a maker asks: readings in a file, the answer from --json, the exit status. It
// shares nothing with the code that it judges; of the job file it takes the figures alone.
package trial
