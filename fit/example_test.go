package fit_test

import (
	"fmt"

	"reseat/fit"
)

// A 6 mm pin ground to m6 in a hole reamed to H7: it may be tight or loose.
func ExampleSpec_Fit() {
	s, err := fit.ParseSpec("6 H7/m6")
	if err != nil {
		fmt.Println(err)
		return
	}
	f, _, err := s.Fit()
	fmt.Printf("clearance %+g to %+g um: %s, %v\n", f.ClearanceMinUM, f.ClearanceMaxUM, f.Kind, err)
	// Output:
	// clearance -12 to +8 um: transition, <nil>
}

func ExampleParseSpec() {
	for _, text := range []string{"1/4 in H7/h6", "6 H7/H7", "10 T7"} {
		s, err := fit.ParseSpec(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(s)
	}
	// Output:
	// 6.35 H7/h6
	// pair H7/H7: both are holes; write the shaft in small letters: H7/h7
	// T7 at 10 mm is not defined: T and t start above 24 mm; the nearest defined class is U7
}

func ExampleClassLimits() {
	class, _ := fit.ParseClass("P7")
	l, _ := fit.ClassLimits(40, class)
	fmt.Println(l.Upper, l.Lower, l.Width())
	// Output: -17 -42 25
}
