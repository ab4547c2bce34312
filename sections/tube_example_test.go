package sections_test

import (
	"fmt"

	"example.com/stanchion/sections"
)

// Wpl = (48.3³ - 41.9³)/6 = (112679 - 73560)/6 = 6520 mm³, and Wpl times 195 MPa is 1.271 kNm.
func Example() {
	tube, err := sections.FindTube("EN 10255 DN40 medium")
	if err != nil {
		fmt.Println(err)
		return
	}
	wall, err := tube.WallOn(sections.NominalWall)
	if err != nil {
		fmt.Println(err)
		return
	}
	ring, err := sections.NewRing(tube.OD, wall)
	if err != nil {
		fmt.Println(err)
		return
	}
	grade, cautions, err := sections.FindGrade("S195T", tube, tube.Wall)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f x %.1f mm, Wpl = %.0f mm³, fy = %.0f MPa\n", ring.OD*1e3, ring.Wall*1e3, ring.Wpl*1e9, grade.Fy/1e6)
	fmt.Printf("plastic moment %.0f Nm\n", ring.Wpl*grade.Fy)
	fmt.Println(cautions[0])
	// Output:
	// 48.3 x 3.2 mm, Wpl = 6520 mm³, fy = 195 MPa
	// plastic moment 1271 Nm
	// EN 10255 S195T: not in EN 1993-1-1 Table 3.1
}

// A name that fits several tubes lists them.
func ExampleFindTube() {
	_, err := sections.FindTube("EN 10255 DN40 light")
	fmt.Println(err)
	// Output:
	// "EN 10255 DN40 light" names more than one tube: "EN 10255 DN40 L", "EN 10255 DN40 L2"
}
