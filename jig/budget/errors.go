package budget

import "fmt"

// InputError reports a figure that cannot be meant: not a number, negative
// where it must not be, or beyond its range.
type InputError struct {
	What string  // which figure of which source or feature
	Got  float64 // what was given, in the unit that What names
	Want string  // what would do
}

func (e *InputError) Error() string {
	return fmt.Sprintf("budget: %s is %g; want %s", e.What, e.Got, e.Want)
}

// NameError reports a source or feature without a name, or a source that has
// the name of another.
type NameError struct {
	What  string // "source" or "feature"
	Index int    // position in its list, from 0
	Name  string // empty when that is the fault
}

func (e *NameError) Error() string {
	if e.Name == "" {
		return fmt.Sprintf("budget: %s %d has no name", e.What, e.Index)
	}
	return fmt.Sprintf("budget: %s %d has the name of an earlier one, %q", e.What, e.Index, e.Name)
}

// LawError reports a cause whose law is none of the four.
type LawError struct {
	Source string
	Var    int // position in the source's list, from 0
	Law    Law
}

func (e *LawError) Error() string {
	return fmt.Sprintf("budget: source %q, cause %d has %v; want normal, uniform, sign or known", e.Source, e.Var, e.Law)
}

// NoFeatureError reports a Spec without a feature.
type NoFeatureError struct{}

func (*NoFeatureError) Error() string {
	return "budget: no features; give at least one place on the board"
}

// PlayError reports a play whose reach or pose is not a finite length.
type PlayError struct {
	Source string
	What   string // which of its answers
	Got    float64
}

func (e *PlayError) Error() string {
	return fmt.Sprintf("budget: source %q: the play's %s is %g; want a finite move", e.Source, e.What, e.Got)
}
