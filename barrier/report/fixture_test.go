package report

import (
	"math"

	"example.com/stanchion/barrier/check"
)

// fixture is a made-up result that has something in every list. Its numbers
// illustrate the layout; no calculation made them.
func fixture() *check.Result {
	load := "point 0.450 kN outward on top rail at x = 9.000 m"
	return &check.Result{
		Schema: 1, Title: "Filter gallery walkway, north edge", Basis: "EN", Status: check.Incomplete,
		Headline: "members pass; not checked: fittings; left out by the user: socket, foot and ground",
		Cautions: []check.Caution{
			{ID: "C1", Text: "A pre-check only. A qualified engineer must verify the result; the local code and licensed practice come first."},
			{ID: "C2", Text: "Loads and values marked memory were not read in the standard.", Triggered: true},
			{ID: "C7", Text: "Impact and fatigue are not checked."},
			{Text: "S195T is not in EN 1993-1-1 Table 3.1.", Triggered: true},
		},
		Assumptions: []string{"base.level is 0 mm: each post is held at the walking surface"},
		Governing: check.Governing{
			Overall:    check.CheckRef{ID: "post-bending", Element: "post 7", Utilisation: new(0.5987)},
			Strength:   check.CheckRef{ID: "post-bending", Element: "post 7", Utilisation: new(0.5987)},
			Deflection: check.CheckRef{ID: "rail-deflection", Element: "rail top bay 6", Utilisation: new(0.5124)},
		},
		LoadPath: []check.Link{
			{Link: "rail", Status: check.Checked, Utilisation: new(0.41)},
			{Link: "fitting", Status: check.Unchecked, Note: "no tested slip force"},
			{Link: "post", Status: check.Checked, Utilisation: new(0.5987)},
			{Link: "ground", Status: check.LeftOut},
		},
		Foot: check.Foot{Stiffness: []*float64{new(60000.0), nil}, LeastStiffness: new(38211.04), Holds: "Every deflection limit is met if each foot is at least 38.3 kNm/rad", Statement: "range, both ends run"},
		Models: []check.Model{
			{Joint: "free", Splices: "as given", FootStiffness: new(60000.0), LargestUtilisation: new(0.5987), Stands: true},
			{Joint: "free", Splices: "as given", LargestUtilisation: new(0.55), Stands: true},
		},
		Loads: []check.LoadRow{
			{Load: "EN ISO 14122-3", Name: "handrail load", Kind: "point-per-spacing", Value: new(300.0), Unit: "N/m", Direction: "outward", Stands: "top rail", Height: new(1.1), Factor: new(1.75),
				Stage: "service", Standard: "EN ISO 14122-3", Edition: "2016", Clause: "8.2.2", Provenance: "public"},
			{Load: "EN 1991-1-1 UK v", Name: "infill area load", Kind: "area", Value: new(1000.0), Unit: "N/m2", Direction: "outward",
				Stage: "characteristic", Standard: "BS 6180", Edition: "2011", Clause: "Table 2", Provenance: "memory", Note: "not applicable: the barrier has no infill"},
			{Load: "gale", Name: "gale", Kind: "wind", Direction: "across", Stands: "everything at once", Factor: new(1.5), Stage: "characteristic", Standard: "EN 1991-1-4", Provenance: "the user's"},
		},
		Wind: []check.StepRow{
			{Load: "gale", Action: "gale", What: "basic velocity", Symbol: "vb", Values: []check.StepValue{}, Result: 26, Unit: "m/s", Provenance: "the user's"},
			{Load: "gale", Action: "gale", What: "peak velocity pressure", Symbol: "qp(z)", Formula: "(1 + 7 Iv(z)) 1/2 ρ vm(z)^2", Values: []check.StepValue{{Symbol: "Iv(z)", Value: 0.23456}, {Symbol: "ρ", Value: 1.25, Unit: "kg/m3"}, {Symbol: "vm(z)", Value: 20.26, Unit: "m/s"}},
				Result: 677.81, Unit: "N/m2", Standard: "EN 1991-1-4", Edition: "2005", Clause: "4.5(1) (4.8)", Provenance: "memory"},
		},
		Ice:       []check.StepRow{{Load: "glaze", Action: "glaze", What: "ice thickness", Symbol: "t", Formula: "class G2", Values: []check.StepValue{}, Result: 0.02, Unit: "m", Standard: "ISO 12494", Edition: "2017", Clause: "Table 3", Provenance: "memory"}},
		Expansion: []check.ExpansionRow{{Load: "season", Rail: "top", Where: "splice", X: 5.8, Length: 9, Closes: 3.78, Opens: 4.86}},
		Posts: []check.PostRow{
			{Post: 1, X: 0, BaseMoment: 700.04, BaseShear: 636, BaseAxial: -61.2, TopDeflection: 11.9, Utilisation: new(0.551), DeflectionUtilisation: new(0.476)},
			{Post: 7, X: 9, BaseMoment: 761, BaseShear: 692, BaseAxial: -61.2, TopDeflection: 12.81, VerticalDeflection: -0.00001, Utilisation: new(0.5987)},
		},
		Rails: []check.RailRow{{Rail: "top", Height: 1.1, Moment: 214.5, Shear: 409, Torsion: 0, Axial: 12, Deflection: 12.81,
			SpanDeflection: 3.2, Bay: 6, AtX: 8.25, Utilisation: new(0.1688), DeflectionUtilisation: new(0.5124)}},
		Checks: []check.CheckRow{
			{ID: "post-bending", Element: "post 1", Demand: 700.04, Resistance: 1271, Unit: "Nm", Utilisation: new(0.551), LimitState: "ULS",
				Combination: "1.35 G + 1.75 Fu", Load: "point 0.450 kN outward on top rail at x = 0.000 m", Clause: "EN 1993-1-1 6.2.5", Provenance: "memory", Section: "base", Status: check.Pass},
			{ID: "post-bending", Element: "post 7", Demand: 761, Resistance: 1271, Unit: "Nm", Utilisation: new(0.5987), LimitState: "ULS",
				Combination: "1.35 G + 1.75 Fu", Load: load, Clause: "EN 1993-1-1 6.2.5", Provenance: "memory", Section: "base", Status: check.Pass},
			{ID: "post-yield", Element: "post 7", Demand: 171.5, Resistance: 195, Unit: "MPa", Utilisation: new(0.8795), LimitState: "SLS",
				Combination: "1.0 G + 1.75 Fu", Load: load, Clause: "first yield", Provenance: "memory", Section: "base", Status: check.Pass},
			{ID: "rail-yield", Element: "rail top bay 6", Demand: 50, Resistance: 195, Unit: "MPa", Utilisation: new(0.2564), LimitState: "SLS",
				Combination: "1.0 G + 1.75 Fu", Load: load, Clause: "first yield", Section: "x = 8.250 m", Status: check.Pass},
			{ID: "rail-deflection", Element: "rail top bay 5", Demand: 12.1, Resistance: 25, Unit: "mm", Utilisation: new(0.484), LimitState: "SLS",
				Combination: "1.0 Fu", Load: load, Clause: "limit of the user", Section: "x = 7.500 m", Status: check.Pass},
			{ID: "rail-deflection", Element: "rail top bay 6", Demand: 12.81, Resistance: 25, Unit: "mm", Utilisation: new(0.5124), LimitState: "SLS",
				Combination: "1.0 Fu", Load: load, Clause: "limit of the user", Section: "x = 9.000 m", Status: check.Pass},
		},
		Fittings: []check.FittingRow{
			{Fitting: "7 top", Tube: "rail", ExtremeOf: "force", Force: 787.5, Slip: 3, Level: "design", Combination: "1.35 G + 1.75 Fu", Load: load},
			{Fitting: "6 top", Tube: "rail", ExtremeOf: "force", Force: 700, Level: "design", Combination: "1.35 G + 1.75 Fu", Load: load},
			{Fitting: "7 top", Tube: "post", ExtremeOf: "slip", Slip: 52, Force: 787.5, Level: "design", Combination: "1.35 G + 1.75 Fu", Load: load},
			{Fitting: "7 top", Tube: "post", ExtremeOf: "force", Slip: 52, Force: 787.5, Level: "design", Combination: "1.35 G + 1.75 Fu", Load: load},
			{Fitting: "7 top", Tube: "post", ExtremeOf: "moment", Slip: 52, Force: 787.5, Level: "design", Combination: "1.35 G + 1.75 Fu", Load: load},
		},
		BaseActions: []check.BaseAction{
			{Post: 7, ExtremeOf: "Mx-", Level: "design", Combination: "1.35 G + 1.75 Fu", Load: load, Fy: 692, Fz: -61, Mx: -761},
			{Post: 7, ExtremeOf: "M", Level: "design", Combination: "1.35 G + 1.75 Fu", Load: load, Fy: 692, Fz: -61, Mx: -761},
			{Post: 7, ExtremeOf: "Mx-", Level: "characteristic", Combination: "1.0 G + 1.0 Fu", Load: load, Fy: 395, Fz: -45, Mx: -435, My: math.Copysign(0, -1)},
		},
		Frequency: &check.Frequency{Lowest: new(11.4), Words: "posts and rails sway across, on rigid feet"},
		HandChecks: []check.HandCheck{{What: "post base moment, tributary width", Element: "post 7", Formula: "1.75 x 300 N/m x 1.5 m x 1.1 m",
			Hand: 866.25, Frame: 761, Unit: "Nm", Ratio: 0.8785}},
		Geometry: []check.GeometryRow{{Rule: "top of rail at least 1100 mm", Schedule: "EN ISO 14122-3", Occupancy: "machinery access", Standard: "EN ISO 14122-3 7.1", Required: 1100, Found: 1124.15,
			Unit: "mm", Status: check.Pass, Provenance: "memory"}},
		Unchecked: []check.Item{{Item: "fitting slip", Reason: "no tested slip force is given", Demand: 52, Unit: "N", Load: load}},
		LeftOut:   []check.Item{{Item: "foot", Reason: "left out by the user", Demand: 761, Unit: "Nm"}},
		Inputs:    check.Inputs{{Key: "title", Text: "Filter gallery walkway, north edge"}, {Key: "post.tube", Text: "EN 10255 DN40 medium"}},
		Sources:   []string{"EN ISO 14122-3:2016 8.2 (public)"},
		SelfCheck: check.SelfCheck{StiffnessResidual: "1e-12", EquilibriumResidual: "1e-12", PlacementResidual: "1e-10"},
	}
}
