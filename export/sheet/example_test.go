package sheet

import (
	"bytes"
	"fmt"
)

// A design becomes a list of marks on paper; the list becomes a picture.
func ExampleDrawing() {
	list, err := Drawing(samples()["tiny"])
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s, %.0f x %.0f mm\n", list.Sheet, list.Size.X, list.Size.Y)
	// Output: A3, 420 x 297 mm
}

func ExampleWriteSVG() {
	list := &List{Title: "One hole", Size: v(20, 10)}
	list.Items = append(list.Items, Circle{Pen: PenOutline, C: v(5, 4), R: 3})
	var b bytes.Buffer
	if err := WriteSVG(&b, list); err != nil {
		fmt.Println(err)
	}
	fmt.Print(b.String())
	// Output:
	// <?xml version="1.0" encoding="UTF-8"?>
	// <svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="20mm" height="10mm" viewBox="0 0 20 10">
	// <title>One hole</title>
	// <rect width="20" height="10" fill="#ffffff"/>
	// <g fill="none" stroke="#000000" stroke-linejoin="miter" font-family="sans-serif">
	// <g stroke-width="0.5">
	// <circle cx="5" cy="6" r="3"/>
	// </g>
	// </g>
	// </svg>
}
