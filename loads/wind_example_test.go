package loads_test

import (
	"fmt"

	"example.com/stanchion/loads"
)

// The wind on a barrier whose top is 1.1 m above a floor 8 m up, in a suburb, and what it puts
// on a metre of 48.3 mm tube: 1.2 times the peak velocity pressure times the width.
func ExampleWind_At() {
	wind := loads.Wind{Route: loads.WindEN, Velocity: 26, Terrain: "III", Ground: 8}
	gust := wind.At(1.1)
	for _, s := range gust.Steps {
		fmt.Printf("%s: %s = %.4g %s (%s)\n", s.What, s.Symbol, s.Result, s.Unit, s.Provenance)
	}
	drag := gust.Tube(0.0483, 0)
	fmt.Printf("cf = %.1f, %.1f N/m\n", drag.Coefficient, drag.Pressure*0.0483)
	// Output:
	// air density: ρ = 1.25 kg/m3 (public)
	// basic wind velocity: vb = 26 m/s (the user's)
	// height: z = 9.1 m (public)
	// terrain factor: kr = 0.2154  (public)
	// roughness factor: cr(z) = 0.735  (public)
	// mean wind velocity: vm(z) = 19.11 m/s (public)
	// turbulence intensity: Iv(z) = 0.2931  (public)
	// peak velocity pressure: qp(z) = 696.4 N/m2 (public)
	// cf = 1.2, 40.4 N/m
}

// The gust of a published sheet: terrain III, 22 m/s, 7.02 m above the ground. It prints cr 0.68,
// vm 14.94 m/s, Iv 0.317 and qp 0.449 kN/m2. By hand, with z0 = 0.3 m: kr = 0.19 (0.3/0.05)^0.07 =
// 0.2154, cr = 0.2154 ln(7.02/0.3) = 0.679, vm = 0.679 x 22 = 14.94, Iv = 1/ln(23.4) = 0.317, and
// qp = (1 + 7 x 0.317) x 0.5 x 1.25 x 14.94² = 449 N/m2.
func ExampleGust() {
	wind := loads.Wind{Route: loads.WindEN, Velocity: 22, Terrain: "III", Ground: 7.02}
	fmt.Printf("qp = %.3f kN/m2\n", wind.At(0).Pressure/1000)
	// Output: qp = 0.449 kN/m2
}

// Glaze of class G2 on a 48.3 mm tube.
func ExampleCoat_Mass() {
	ice := loads.Ice{Class: "G2"}
	coat := ice.Coat()
	mass, _ := coat.Mass(0.0483)
	fmt.Printf("%.0f mm, %.2f kg/m\n", 1000*coat.Thickness, mass)
	// Output: 20 mm, 3.86 kg/m
}
