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
	// no national annex "FR" is carried; carried: UK
}
