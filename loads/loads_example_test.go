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
	factor := loads.CombinationsEN().ULS.Factor(action)
	fmt.Printf("service %.1f N, strength %.1f N in %s\n", service, factor*service,
		loads.Expression(1.35, factor, action.Symbol))
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
