package climate_test

import (
	"fmt"

	"reseat/jig/climate"
)

// A pear board 55 mm wide was made in dry air and has stood in a damp cellar since.
func ExampleStrain() {
	made, now := climate.Air{TempC: 21, RHPct: 45}, climate.Air{TempC: 17, RHPct: 62}
	c, err := climate.Strain("pear", climate.Quarter, made, now)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("moisture %.1f to %.1f %%\n", c.MoistureFrom, c.MoistureTo)
	fmt.Printf("55 mm of width grow by %.3f mm, 478 mm of length by %.3f mm\n", 55*c.Across, 478*c.Along)

	_, err = climate.Strain("rosewod", climate.Quarter, made, now)
	fmt.Println(err)
	// Output:
	// moisture 8.5 to 11.5 %
	// 55 mm of width grow by 0.256 mm, 478 mm of length by 0.090 mm
	// material "rosewod" is not in the tables; did you mean rosewood?
}

// The same board has 0.2 mm of room in all. At which humidity does it go in again?
func ExampleHumidityFor() {
	pear, err := climate.LookupWood("pear")
	if err != nil {
		fmt.Println(err)
		return
	}
	made := climate.Air{TempC: 21, RHPct: 45}
	rh, ok := climate.HumidityFor(pear, climate.Quarter, made, 17, 0.2/55)
	fmt.Printf("%.0f %% RH, %t\n", rh, ok)
	// Output:
	// 59 % RH, true
}
