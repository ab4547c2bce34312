package check

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// kinds of barriers that no example has, as parts of a definition; what is left out is that of
// shortRun.
type kindOfBarrier struct {
	name, basis         string
	tube, grade         string // of posts and rails: a table or a name, quoted
	base, fitting, rail string // keys
	post                string
	load, limits        string
	rest                string // whole tables
	want                string // a check that it must have
	wantSymbol          string // a step that one of the trails of that check must have
}

func (k kindOfBarrier) toml() string {
	or := func(s, other string) string {
		if s == "" {
			return other
		}
		return s
	}
	tube := "tube = " + or(k.tube, `"EN 10219 48.3x3.2"`) + "\ngrade = " + or(k.grade, `"S235JRH"`) + "\n"
	base, feet, _ := strings.Cut(or(k.base, `stiffness = "150 kNm/rad"`), "\n\n") // [post.base.kind] stands after
	return "basis = \"" + or(k.basis, "EN") + "\"\n[run]\nlength = \"3 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\"\n" +
		"[post]\n" + tube + "height = \"1100 mm\"\n" + k.post + "\n[post.base]\nlevel = \"0 mm\"\n" + base + "\n" + feet +
		"\n[[rail]]\nname = \"top\"\nheight = \"1100 mm\"\n" + tube + or(k.rail, "through = true\nstock = \"6 m\"") +
		"\n[fitting]\n" + or(k.fitting, `moment = "free"`) +
		"\n[[load]]\nname = \"people\"\n" + or(k.load, "kind = \"line\"\nvalue = \"0.5 kN/m\"\nrail = \"top\"\ndirection = \"across\"") +
		"\n[limits]\n" + or(k.limits, `deflection = "40 mm"`) + "\n" + k.rest + "\n"
}

const (
	pipeXS   = `"ASTM A53 NPS 1-1/2 XS"`
	gradeB   = `"Grade B"`
	t6       = `"ASTM B221 / B241 / B429 6061-T6"`
	pressing = "kind = \"line\"\nvalue = \"1 kN/m\"\nrail = \"top\"\ndirection = \"down\"\n\n[[load]]\nname = \"lean\"\nkind = \"point\"\nvalue = \"0.3 kN\"\nrail = \"top\"\ndirection = \"outward\"\nwith = [\"people\"]"
	pushing  = "kind = \"point\"\nvalue = \"3 kN\"\nrail = \"top\"\ndirection = \"any\""
	sockets  = "socket_moment = \"1.6 kNm\"\nsocket_uplift = \"4 kN\"\nsocket_twist = \"0.2 kNm\"\nvalues = \"working\""
	anchored = "bolt = \"M12\"\nclass = \"8.8\"\ntension = \"24 kN\"\nshear = \"16 kN\"\nvalues = \"characteristic\"\nvalues_factor = 1.5"
	halfInch = "bolt = \"1/2 in\"\nclass = \"ASTM F1554 Grade 36\"\ntension = \"3 kip\"\nshear = \"2 kip\"\nvalues = \"working\""
	noDetail = "[scope]\nleave_out = [\"fitting\", \"geometry\"]"
	brace    = "[[brace]]\npost = 2\nheight = \"900 mm\"\n"
	strut    = "[[brace]]\npost = 2\nheight = \"900 mm\"\nfoot = { outward = \"-600 mm\", level = \"0 mm\", uplift = \"3 kN\", downward = \"6 kN\", shear = \"4 kN\", values = \"characteristic\", values_factor = 1.2 }\n"
)

var kindsOfBarriers = []kindOfBarrier{
	{name: "braces of AISC LRFD", basis: "AISC-LRFD", tube: pipeXS, grade: gradeB, rest: strut + "tube = " + pipeXS + "\ngrade = " + gradeB, want: "brace-interaction"},
	{name: "braces of AISC ASD", basis: "AISC-ASD", tube: pipeXS, grade: gradeB, rest: working(strut) + "tube = " + pipeXS + "\ngrade = " + gradeB, want: "brace-buckling"},
	{name: "braces of AS", basis: "AS", tube: `"AS/NZS 1163 48.3x3.2"`, grade: `"C350L0"`, rest: strut + "tube = \"AS/NZS 1163 48.3x3.2\"\ngrade = \"C350L0\"", want: "brace-interaction"},
	{name: "braces of CSA", basis: "CSA", tube: `"ASTM A500 1.900x0.145"`, grade: `"Grade C to 2018"`, rest: strut + "tube = \"ASTM A500 1.900x0.145\"\ngrade = \"Grade C to 2018\"", want: "brace-interaction"},
	{name: "braces of aluminium under ADM", basis: "AISC-ASD", tube: `"ASTM B429 NPS 1-1/2 Sch 80"`, grade: t6, rest: working(strut) + "tube = \"ASTM B429 NPS 1-1/2 Sch 80\"\ngrade = " + t6, want: "brace-interaction"},
	{name: "brace that bears much", load: pushing, rest: strut + "tube = \"EN 10219 26.9x2.6\"\ngrade = \"S235JRH\"", want: "brace-buckling"},
	{name: "tested sockets under LRFD", basis: "AISC-LRFD", tube: pipeXS, grade: gradeB, base: "stiffness = \"150 kNm/rad\"\nkind = \"socket\"\n" + sockets + "\n\n[post.base.socket]\ndepth = \"6 in\"\nwidth = \"1.8 in\"\nstrength = \"4 ksi\"", rest: noDetail, want: "base-socket-moment"},
	{name: "flange under ASD", basis: "AISC-ASD", tube: pipeXS, grade: gradeB, base: "stiffness = \"150 kNm/rad\"\nkind = \"flange\"\n" + sockets + "\n\n[post.base.flange]\nbolts = 4\ncircle = \"4 in\"\nturned = \"45 deg\"\ndiameter = \"5-1/2 in\"\nthickness = \"5/8 in\"\nfy = \"36 ksi\"\n" + halfInch, rest: noDetail, want: "base-flange-bolt-steel"},
	{name: "flange turned as it comes, ASD", basis: "AISC-ASD", tube: pipeXS, grade: gradeB, base: "stiffness = \"150 kNm/rad\"\nkind = \"flange\"\n\n[post.base.flange]\nbolts = 4\ncircle = \"4 in\"\ndiameter = \"5-1/2 in\"\nthickness = \"5/8 in\"\nfy = \"36 ksi\"\nprying = \"plate\"\n" + halfInch, rest: noDetail, want: "base-flange-interaction"},
	{name: "bracket under ASD", basis: "AISC-ASD", tube: pipeXS, grade: gradeB, base: "stiffness = \"150 kNm/rad\"\nkind = \"side\"\n\n[post.base.side]\nface = \"inward\"\neccentricity = \"70 mm\"\nspacing = \"120 mm\"\ncolumns = 2\ncolumn_spacing = \"100 mm\"\n" + halfInch, rest: noDetail, want: "base-side-bolt-steel"},
	{name: "socket under ASD", basis: "AISC-ASD", tube: pipeXS, grade: gradeB, base: "stiffness = \"150 kNm/rad\"\nkind = \"socket\"\n" + sockets + "\n\n[post.base.socket]\ndepth = \"6 in\"\nwidth = \"1.8 in\"\nstrength = \"4 ksi\"", rest: noDetail, want: "base-concrete-pressure"},
	{name: "earth under ASD", basis: "AISC-ASD", tube: pipeXS, grade: gradeB, base: "stiffness = \"150 kNm/rad\"\nkind = \"earth\"\n\n[post.base.earth]\ndepth = \"52 in\"\ndiameter = \"12 in\"\nsoil = \"sandy gravel\"\nground = \"-3 in\"\nembedded = \"30 in\"\nstrength = \"3 ksi\"\nmass = \"500 lb\"", rest: noDetail, want: "base-earth-depth"},
	{name: "counterweight under ASD", basis: "AISC-ASD", tube: pipeXS, grade: gradeB, base: "stiffness = \"150 kNm/rad\"\nkind = \"counterweight\"\n\n" + working(counterweights), rest: noDetail, want: "base-counterweight-tilt"},
	{name: "counterweight under LRFD", basis: "AISC-LRFD", tube: pipeXS, grade: gradeB, base: "stiffness = \"150 kNm/rad\"\nkind = \"counterweight\"\n\n" + counterweights, rest: noDetail, want: "base-counterweight-tilt"},
	{name: "counterweight under AS", basis: "AS", tube: `"AS/NZS 1163 48.3x3.2"`, grade: `"C350L0"`, base: "stiffness = \"150 kNm/rad\"\nkind = \"counterweight\"\n\n" + counterweights, rest: noDetail, want: "base-counterweight-tilt"},
	{name: "counterweight under CSA", basis: "CSA", tube: `"ASTM A500 1.900x0.145"`, grade: `"Grade C to 2018"`, base: "stiffness = \"150 kNm/rad\"\nkind = \"counterweight\"\n\n" + counterweights, rest: noDetail, want: "base-counterweight-slide"},
	{name: "socket under AS", basis: "AS", tube: `"AS/NZS 1163 48.3x3.2"`, grade: `"C350L0"`, base: "stiffness = \"150 kNm/rad\"\nkind = \"socket\"\n\n[post.base.socket]\ndepth = \"150 mm\"\nwidth = \"48 mm\"\nstrength = \"32 MPa\"", rest: noDetail, want: "base-concrete-pressure"},
	{name: "socket under CSA", basis: "CSA", tube: `"ASTM A500 1.900x0.145"`, grade: `"Grade C to 2018"`, base: "stiffness = \"150 kNm/rad\"\nkind = \"socket\"\n\n[post.base.socket]\ndepth = \"150 mm\"\nwidth = \"48 mm\"\nstrength = \"30 MPa\"", rest: noDetail, want: "base-concrete-pressure"},
	{name: "aluminium under CSA", basis: "CSA", tube: `"ASTM B429 NPS 1-1/2 Sch 80"`, grade: t6, want: "post-buckling"},
	{name: "aluminium under CSA that is pushed", basis: "CSA", tube: `"ASTM B429 NPS 1-1/2 Sch 80"`, grade: t6, load: pushing, base: `stiffness = "15 kNm/rad"`, want: "post-interaction"},
	{name: "aluminium under LRFD", basis: "AISC-LRFD", tube: `"ASTM B429 NPS 1-1/2 Sch 40"`, grade: t6, post: "net = { hole = \"9 mm\", at = \"fittings\", walls = 1 }", load: pushing, want: "post-net"},
	{name: "flange that bears at its edge", base: flangeBy("diameter = \"140 mm\"\nmethod = \"edge\"\nbearing = \"55 mm\""), rest: noDetail, want: "base-flange-tension"},
	{name: "flange with a bearing block", base: flangeBy("diameter = \"140 mm\"\nmethod = \"block\"\nconcrete = \"10 MPa\"\nweight = \"counted\""), rest: noDetail, want: "base-flange-tension", wantSymbol: "fc"},
	{name: "flange off centre", base: "stiffness = \"150 kNm/rad\"\nkind = \"flange\"\n\n[post.base.flange]\nat = [[\"60 mm\", \"-40 mm\"], [\"50 mm\", \"55 mm\"], [\"-45 mm\", \"30 mm\"]]\nsize = [\"160 mm\", \"150 mm\"]\nthickness = \"10 mm\"\nfy = \"235 MPa\"\nprying = \"plate\"\nbending = \"elastic\"\ninteraction = \"1.2\"\n" + anchored, load: pushing, rest: noDetail, want: "base-flange-tension", wantSymbol: "xc"},
	{name: "sum of powers", base: flangeBy("diameter = \"140 mm\"\ninteraction = \"1.5\""), rest: noDetail, want: "base-flange-interaction"},
	{name: "linear sum to 1.2", base: flangeBy("diameter = \"140 mm\"\ninteraction = \"1.2\""), rest: noDetail, want: "base-flange-interaction"},
	{name: "bracket with one column", base: "stiffness = \"150 kNm/rad\"\nkind = \"side\"\n\n[post.base.side]\nface = \"outward\"\neccentricity = \"70 mm\"\nbelow = \"20 mm\"\nspacing = \"120 mm\"\ncolumns = 1\nplate_width = \"90 mm\"\nbottom = \"40 mm\"\ntop = \"40 mm\"\nbearing = \"edge\"\n" + anchored, load: pushing, rest: noDetail, want: "base-side-tension"},
	{name: "stainless with second order", tube: `"EN 10217 42.4x2.6"`, grade: `"1.4404"`, base: `stiffness = "80 kNm/rad"`, load: pressing, post: "net = { hole = \"8.5 mm\", at = \"fittings\", walls = 2 }", want: "post-bending", wantSymbol: "MEd,2"},
	{name: "frame that falls", base: `stiffness = "1 kNm/rad"`, load: pressing, want: "post-bending", wantSymbol: "load"},
	{name: "movements by a rule", limits: "rule = \"h/24 + L/96\"\nvertical = \"L/96\"", want: "post-deflection", wantSymbol: "δlim"},
	{name: "movements with second order under ASD", basis: "AISC-ASD", tube: pipeXS, grade: gradeB, base: `stiffness = "80 kNm/rad"`, load: pressing, limits: "rule = \"h/24 + L/96\"", want: "post-deflection", wantSymbol: "P0"},
	{name: "couplers", fitting: "class = \"EN 74-1 right-angle B\"\noffset = \"52 mm\"\nmoment = { about_rail = \"7.5 kNm/rad\" }", load: pushing, want: "fitting-together", wantSymbol: "MBEd"},
	{name: "swivel couplers", fitting: "class = \"EN 74-1 swivel A\"\noffset = \"52 mm\"", want: "fitting-slip"},
	{name: "rigid fittings and a wall", fitting: "moment = \"rigid\"\nslip_force = \"3 kN\"\nslip_moment = \"150 Nm\"\nmoment_resistance = \"400 Nm\"\ntransverse_force = \"4 kN\"\nvalues = \"characteristic\"\nvalues_factor = 1.25", rest: "[run.start]\nkind = \"wall\"\nrotation = \"held\"\nalong = \"held\"\npull = \"4 kN\"\nshear = \"3 kN\"\nmoment = \"1 kNm\"\nvalues = \"characteristic\"\nvalues_factor = 1.5", load: pushing, want: "wall-together"},
	{name: "stiff splices", rail: "through = true\nstock = \"6 m\"\nsplices = [\"1.7 m\"]\nsplice_moment = \"rigid\"\nsplice_moment_resistance = \"900 Nm\"\nsplice_slip = \"6 kN\"\nsplice_shear = \"5 kN\"\nvalues = \"characteristic\"\nvalues_factor = 1.5", load: pushing, want: "splice-together"},
	{name: "drilled tube of AISC", basis: "AISC-ASD", tube: pipeXS, grade: gradeB, post: "net = { hole = \"9 mm\", at = \"fittings\", walls = 1 }", base: `stiffness = "80 kNm/rad"`, load: pressing, want: "post-net"},
	{name: "drilled tube of AS", basis: "AS", tube: `"AS/NZS 1163 48.3x3.2"`, grade: `"C350L0"`, post: "net = { hole = \"9 mm\", at = \"fittings\", walls = 2 }", load: pushing, want: "post-net"},
	{name: "drilled tube of CSA", basis: "CSA", tube: `"ASTM A500 1.900x0.145"`, grade: `"Grade C to 2018"`, post: "net = { hole = \"9 mm\", at = \"fittings\", walls = 1 }", load: pushing, want: "post-net"},
}

const counterweights = "[post.base.counterweight]\noutward = \"150 mm\"\ninward = \"1100 mm\"\nalong = \"250 mm\"\nslope = \"3 deg\"\nweights = [{ mass = \"215 kg\", outward = \"-900 mm\", height = \"110 mm\" }]\nfriction = { value = 0.6, values = \"characteristic\", values_factor = 1.2 }\narm_moment = \"1.2 kNm\"\nvalues = \"design\""

// working makes values working values, as allowable stress design has them.
func working(keys string) string {
	return strings.NewReplacer("\"characteristic\"", "\"working\"", "\"design\"", "\"working\"", ", values_factor = 1.2", "").Replace(keys)
}

// flangeBy is a flange on four bolts.
func flangeBy(keys string) string {
	return "stiffness = \"150 kNm/rad\"\nkind = \"flange\"\n\n[post.base.flange]\nbolts = 4\ncircle = \"100 mm\"\nturned = \"30 deg\"\nthickness = \"12 mm\"\nfy = \"235 MPa\"\n" + keys + "\n" + anchored
}

// Every step of every check of the kinds of barriers that no example has can be followed too.
func TestEveryStepOfOtherKindsCanBeFollowed(t *testing.T) {
	for _, k := range kindsOfBarriers {
		t.Run(k.name, func(t *testing.T) {
			t.Parallel()
			d, err := barrier.Parse(k.name+".toml", []byte(k.toml()))
			if err != nil {
				t.Fatalf("%v\nof\n%s", err, k.toml())
			}
			holdFollowed(t, d, k.want, k.wantSymbol)
		})
	}
}

// holdFollowed holds each trail of a barrier to what a reader asks of it, and wants a check and, in
// a trail of it, a step.
func holdFollowed(t *testing.T, d *barrier.Definition, want, symbol string) {
	t.Helper()
	r, err := Run(d, Options{Trails: true})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Trails) != len(r.Checks) {
		t.Fatalf("%d trails of %d checks", len(r.Trails), len(r.Checks))
	}
	sources := strings.Join(r.Sources, "\n")
	found := want == ""
	var wrong []error
	for i := range r.Trails {
		trail, row := &r.Trails[i], &r.Checks[i]
		if trail.ID != row.ID || trail.Element != row.Element || trail.Load != row.Load || trail.Combination != row.Combination || len(trail.Steps) == 0 {
			t.Errorf("trail %d is %+v, the check %+v", i, trail, row)
		}
		limit := ""
		if strings.HasSuffix(row.ID, "deflection") {
			limit = row.Clause
		}
		wrong = append(wrong, checkSteps(trail, limit, sources))
		for _, s := range trail.Steps {
			found = found || trail.ID == want && (symbol == "" || s.Symbol == symbol)
		}
	}
	if err := errors.Join(wrong...); err != nil {
		t.Error(err)
	}
	if !found {
		t.Errorf("no check %s with a step %q", want, symbol)
	}
}

// Every step of every check of a tube can be followed, of every code and class, under random
// actions and beyond the critical force.
func TestEveryStepOfTubesCanBeFollowed(t *testing.T) {
	of := func(basis loads.Basis, m *barrier.Member) resistance {
		t.Helper()
		r, err := newResistance(&barrier.Definition{Basis: basis}, m, 1.2)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	tubes := map[string]resistance{}
	for wall, words := range map[float64]string{3.2: "stocky", 1.3: "thin", 0.75: "thinnest"} {
		m := steel(t, 48.3, wall, 350)
		for _, basis := range []loads.Basis{loads.BasisEN, loads.BasisAS, loads.BasisCSA, loads.BasisLRFD, loads.BasisASD} {
			if wall < 1 && basis == loads.BasisEN { // class 4
				continue
			}
			tubes[string(basis)+" "+words] = of(basis, m)
		}
		if wall > 1 {
			tubes["stainless "+words] = stainlessTube(t, 48.3, wall, 220)
		}
	}
	random := rand.New(rand.NewPCG(6, 2026))
	for name, tube := range tubes {
		tube.setCritical(60e3)
		for check, judge := range judgesOf(tube) {
			for range 60 {
				pick := func(size float64) float64 { return size * []float64{0, -1, 0.01, 1}[random.IntN(4)] * random.Float64() }
				s := analysis.State{N: pick(70e3), Vy: pick(60e3), Vz: pick(60e3), T: pick(2e3), My: pick(2e3), Mz: pick(2e3)}
				r := &Recorder{}
				judge(&s, r)
				if err := checkNoted(r, &s); err != nil {
					t.Fatalf("%s %s: %v", name, check, err)
				}
			}
		}
	}
}
