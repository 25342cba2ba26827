package job_test

import (
	"errors"
	"fmt"

	"reseat/jig/job"
	"reseat/jig/units"
)

// A job with two slips: both are told, each with its place and what would do.
func ExampleParse() {
	text := `units: mm
board: {lenght: 478, width: 42, thickness: 6,5}
dowel: {diameter: 1/4 in}
template: {thickness: 6, make: {by: laser}}
`
	_, err := job.Parse("pear.yaml", []byte(text))
	var faults *job.Problems
	if errors.As(err, &faults) {
		fmt.Print(faults.Detail())
	}
	// Output:
	// pear.yaml:2:9: board.lenght: unknown key "lenght" (did you mean "length"?)
	//      2 | board: {lenght: 478, width: 42, thickness: 6,5}
	//        |         ^
	// pear.yaml:2:44: board.thickness: 6,5 has a decimal comma (write 6.5, not 6,5)
	//      2 | board: {lenght: 478, width: 42, thickness: 6,5}
	//        |                                            ^
}

func ExampleJob_Pos() {
	text := "board: {length: 478, width: 42, thickness: 6}\ndowel: {diameter: 6}\ntemplate: {thickness: 6, make: {by: laser}}\n"
	j, err := job.Parse("pear.yaml", []byte(text))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(j.Pos("board.thickness"))
	fmt.Println(j.Pos("template.clearance"), "where the section stands, since the default holds")
	fmt.Println(j.Fault("dowel.diameter", errors.New("no standard has this pin")))
	// Output:
	// {1 44}
	// {3 11} where the section stands, since the default holds
	// pear.yaml:2:19: dowel.diameter: no standard has this pin
}

func ExampleParseLength() {
	for _, text := range []string{"41.5", "1 1/2 in", "41,5", "4 cm"} {
		mm, err := units.ParseLength(text, units.MM)
		fmt.Println(mm, err)
	}
	// Output:
	// 41.5 <nil>
	// 38.1 <nil>
	// 0 41,5 has a decimal comma (write 41.5, not 41,5)
	// 0 the unit "cm" is not taken here (write 40 mm)
}
