package sheet

import "fmt"

// A design becomes a list of marks on paper; the list becomes a picture.
func ExampleDrawing() {
	list, err := Drawing(samples()["tiny"])
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f x %.0f mm\n", list.Size.X, list.Size.Y)
	// Output: 420 x 297 mm
}
