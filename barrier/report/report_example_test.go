package report_test

import (
	"fmt"
	"os"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
)

// A demand of 761 Nm against 1271 Nm: 761 / 1271 = 0.5987, printed rounded up.
func ExampleText() {
	u := 761.0 / 1271.0
	var out strings.Builder
	err := report.Text(&out, &check.Result{
		Governing: check.Governing{Overall: check.CheckRef{ID: "post-bending", Element: "post 7", Utilisation: &u}},
		Checks:    []check.CheckRow{{ID: "post-bending", Element: "post 7", Demand: 761, Resistance: 1271, Unit: "Nm", Utilisation: &u}},
	}, report.TextOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for line := range strings.Lines(out.String()) {
		if strings.Contains(line, " / 1271.0 Nm = ") {
			fmt.Print(line)
		}
	}
	// Output:
	//   761.0 Nm / 1271.0 Nm = 0.599
}

// JSON keeps 9 significant digits: 48.3² π / 4 is 1832.24752... mm².
func ExampleJSONRows() {
	type row struct {
		Name string  `json:"name"`
		Disc float64 `json:"disc_mm2"`
	}
	if err := report.JSONRows(os.Stdout, []row{{"48.3 mm", 48.3 * 48.3 * 3.141592653589793 / 4}}); err != nil {
		fmt.Println(err)
	}
	// Output:
	// [
	//   {
	//     "name": "48.3 mm",
	//     "disc_mm2": 1832.24752
	//   }
	// ]
}
