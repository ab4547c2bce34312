package loads_test

import (
	"fmt"

	"example.com/stanchion/loads"
)

// A bay of 1.5 m under EN ISO 14122-3: 300 N/m x 1.5 m = 450 N in service, and
// 1.75 x 450 N = 787.5 N for strength.
func ExampleFindSchedule() {
	schedule, err := loads.FindSchedule("EN ISO 14122-3", "")
	if err != nil {
		fmt.Println(err)
		return
	}
	action := schedule.Actions[0]
	service := action.Value * 1.5
	factor := loads.CombinationsOf(loads.BasisEN).StrengthFactor(&schedule, action).Value
	fmt.Printf("service %.1f N, strength %.1f N in %s\n", service, factor*service,
		loads.Expression(1.35, "G", factor, action.Symbol))
	// Output: service 450.0 N, strength 787.5 N in 1.35 G + 1.75 Fu
}

// An occupancy beside the standard finds the same schedule as the full name.
func ExampleFindSchedule_occupancy() {
	schedule, err := loads.FindSchedule("EN 1991-1-1", "UK v")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, a := range schedule.Actions {
		fmt.Printf("%s: %.0f, %s\n", a.Name, a.Value, a.Source)
	}
	// Output:
	// top line load: 740, public page scan of BS 6180:2011 Table 2
	// infill area load: 1000, public page scan of BS 6180:2011 Table 2
	// infill point load: 500, public page scan of BS 6180:2011 Table 2
	// vertical line load: 600, public forum of structural engineers, 2010, as reported there
	// vertical point load: 1000, public forum of structural engineers, 2010, as reported there
}

// 29 CFR 1910.29 on both US bases: 200 lbf as a nominal live load, 1.6 x 200 = 320 lbf by
// ASCE 7-16 2.3.1 and 200 lbf by 2.4.1 (1 lbf = 4.4482 N).
func ExampleCombinations_StrengthFactor() {
	schedule, err := loads.FindSchedule("29 CFR 1910.29", "")
	if err != nil {
		fmt.Println(err)
		return
	}
	action := schedule.Actions[0]
	for _, basis := range []loads.Basis{loads.BasisLRFD, loads.BasisASD} {
		c := loads.CombinationsOf(basis)
		factor := c.StrengthFactor(&schedule, action)
		fmt.Printf("%s: %.1f N in %s (%s)\n", c.ULS.LimitState, factor.Value*action.Value,
			loads.Expression(c.ULS.PermanentUnfavourable, c.PermanentSymbol, factor.Value, action.Symbol), factor.Provenance)
	}
	// Output:
	// ULS: 1423.4 N in 1.20 D + 1.60 L (common-practice)
	// ASD: 889.6 N in 1.00 D + 1.00 L (common-practice)
}

// A national annex warns where the recommended value stands instead of its own.
func ExampleFindScheduleIn() {
	schedule, err := loads.FindScheduleIn("UK", "EN 1991-1-1", "C5")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(schedule.Cautions[len(schedule.Cautions)-1])
	_, err = loads.FindScheduleIn("FR", "EN 1991-1-1", "C5")
	fmt.Println(err)
	// Output:
	// EN 1991-1-1 C5: the UK annex has its own value for this use, among the rows of EN 1991-1-1 UK, and the recommended one is used here
	// no national annex "FR" is carried; carried: UK, DE, AT
}

// People on a barrier with wind by EN 1990 6.10: the people lead, 1.5 Q + 1.5 x 0.6 W, or
// the wind does, 1.5 W + 1.5 x 0.7 Q; under the UK annex psi0 of wind is 0.5. ASCE 7-16
// 2.3.1 has one combination of both.
func ExampleCombinations_Mixes() {
	people := loads.Variable{Category: loads.ImposedC}
	wind := loads.Variable{Category: loads.WindAction}
	for _, under := range []struct {
		basis loads.Basis
		annex string
	}{{loads.BasisEN, ""}, {loads.BasisEN, "UK"}, {loads.BasisLRFD, ""}} {
		c, err := loads.CombinationsUnder(under.basis, under.annex, "")
		if err != nil {
			fmt.Println(err)
			return
		}
		for _, m := range c.Mixes(loads.Strength, []loads.Variable{people, wind}) {
			fmt.Printf("%s: %s\n", m.Name, loads.Expression(m.PermanentUnfavourable, c.PermanentSymbol,
				m.Factors[0], "Q", loads.Term{Factor: m.Factors[1], Symbol: "W"}))
		}
	}
	// Output:
	// EN 1990 6.10: 1.35 G + 1.50 Q + 0.90 W
	// EN 1990 6.10: 1.35 G + 1.05 Q + 1.50 W
	// EN 1990 6.10: 1.35 G + 1.50 Q + 0.75 W
	// EN 1990 6.10: 1.35 G + 1.05 Q + 1.50 W
	// ASCE 7-16 2.3.1 combination 4: 1.20 D + 1.00 Q + 1.00 W
}

// The foot of a post 1.1 m high under 1.0 kN of people (category C) at its top and 40 N/m of wind
// along it. By hand, EN 1990 6.10 with psi0 0.6 of wind: 1.5 Q h + 0.9 W h/2 with W = 44 N, which is
// 1650 + 21.8 = 1671.8 Nm; with the wind leading 0.7 x 1.5 x 1100 + 1.5 x 24.2 = 1191.3 Nm.
func ExampleCombinations_Mixes_moment() {
	people, wind := 1000*1.1, 40*1.1*1.1/2 // Nm
	for _, m := range loads.CombinationsOf(loads.BasisEN).Mixes(loads.Strength, []loads.Variable{
		{Category: loads.ImposedC}, {Category: loads.WindAction},
	}) {
		fmt.Printf("%.1f Nm\n", m.Factors[0]*people+m.Factors[1]*wind)
	}
	// Output:
	// 1671.8 Nm
	// 1191.3 Nm
}
