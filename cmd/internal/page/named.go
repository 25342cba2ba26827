package page

import (
	"fmt"
	"io/fs"
	"sync"

	"reseat/jig/job"
)

// named watches the files that the page's job names: what was opened when it was last looked at.
type named struct {
	mu     sync.Mutex
	states map[string]string // of each file, as it was told last
	count  int               // of changes so far
}

// reading is an opener that notes what is opened, and what has it watched once the job was read. What opens
// nothing leaves what is watched.
func (n *named) reading(open job.Opener) (noting job.Opener, done func()) {
	states := map[string]string{}
	noting = func(name string) (fs.File, error) {
		states[name] = state(open, name)
		return open(name)
	}
	return noting, func() {
		n.mu.Lock()
		defer n.mu.Unlock()
		for name := range states {
			if was, ok := n.states[name]; ok {
				states[name] = was // so that changes counts what happened meanwhile, for every window
			}
		}
		if len(states) > 0 {
			n.states = states
		}
	}
}

// changes looks at the files, and counts their changes so far.
func (n *named) changes(open job.Opener) int {
	n.mu.Lock()
	defer n.mu.Unlock()
	for name, was := range n.states {
		if now := state(open, name); now != was {
			n.states[name] = now
			n.count++
		}
	}
	return n.count
}

// state tells a file after a change from what it was, and one that is there from one that is not.
func state(open job.Opener, name string) string {
	f, err := open(name)
	if err != nil {
		return err.Error()
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err.Error()
	}
	return fmt.Sprint(info.ModTime(), info.Size())
}
