package check_test

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.com/stanchion/barrier/check"
)

// same is how far two runs of one barrier may differ. Each is trusted to a residual of 1e-8
// ("Each solve proves itself" of the project's design), which is more than what a search loses:
// of places, stations, loads and models it keeps the first that is within 1e-9 of a later one,
// and 1e-9 at each of these four choices at most.
const same = 2e-8

// zero is what of the largest of its kind counts as nothing: twice what the result itself writes
// as 0 (contract 2 of the project's design).
const zero = 2e-9

// findings are the numbers of a result by kind and element. Elements that share a name have
// several, in order of size.
type findings map[string]map[string][]float64

func (f findings) add(kind, element string, v float64) {
	if f[kind] == nil {
		f[kind] = map[string][]float64{}
	}
	f[kind][element] = append(f[kind][element], v)
}

// traces are what a result writes as 0 beside the largest number of a unit, resistances among them.
func traces(r *check.Result) float64 {
	most := 0.0
	for i := range r.Checks {
		if c := &r.Checks[i]; c.Unit == "N" || c.Unit == "Nm" {
			most = math.Max(most, math.Max(c.Demand, c.Resistance))
		}
	}
	return zero * most
}

func (f findings) addUse(kind, element string, u *float64, failed bool) {
	switch {
	case u != nil:
		f.add(kind, element, *u)
	case failed:
		f.add(kind+" without bound", element, 1)
	default:
		f.add(kind+" unchecked", element, 1)
	}
}

// forces is a kind of its own: the size of force and moment that is nothing.
const forces = "traces of forces"

// naming tells what an element of a barrier is called in the one that it is compared with.
type naming struct {
	post   func(int) int // from 1
	splice func(float64) float64
	mirror bool
	corner func(int) bool // of a post: its Mx and My and the checks of its foot are not compared
	words  func(string) string
}

func plainly() *naming {
	return &naming{post: func(p int) int { return p }, splice: func(x float64) float64 { return x }, corner: func(int) bool { return false }, words: func(s string) string { return s }}
}

var (
	ofPost   = regexp.MustCompile(`\bpost (\d+)`)
	ofFit    = regexp.MustCompile(`^((?:corner )?fitting) \d+ `)
	ofBay    = regexp.MustCompile(` (bay \d+|overhang)\b.*$`)
	ofSplice = regexp.MustCompile(`^splice (.*) (-?[\d.]+)$`)
)

// element renames an element. The bay of a rail, and the post of the one fitting of a rail that a check
// tells, are left out: equal ones tie, and the first in the order of the run is named.
func (n *naming) element(e string) string {
	e = n.words(e)
	if m := ofSplice.FindStringSubmatch(e); m != nil {
		x, _ := strconv.ParseFloat(m[2], 64)
		return fmt.Sprintf("splice %s %.3f", m[1], n.splice(x))
	}
	e = ofFit.ReplaceAllString(e, "$1 ")
	if strings.HasPrefix(e, "rail ") {
		e = ofBay.ReplaceAllString(e, "")
	}
	if strings.HasPrefix(e, "test piece") {
		return "test piece"
	}
	e = ofPost.ReplaceAllStringFunc(e, func(s string) string {
		word, number, _ := strings.Cut(s, " ")
		i, _ := strconv.Atoi(number)
		return word + " " + strconv.Itoa(n.post(i))
	})
	if n.mirror {
		e = n.swapped(e, "start", "end")
	}
	return e
}

func (n *naming) swapped(e, a, b string) string {
	switch {
	case strings.HasSuffix(e, a):
		return strings.TrimSuffix(e, a) + b
	case strings.HasSuffix(e, b):
		return strings.TrimSuffix(e, b) + a
	}
	return e
}

// extreme renames an extreme of base actions. In a mirror across the run moments about Y change
// their sign, and those about X, which lies across the mirror, do not.
func (n *naming) extreme(of string) string {
	if n.mirror {
		return n.swapped(of, "My+", "My-")
	}
	return of
}

// of gathers what a result found.
func (n *naming) of(r *check.Result) findings {
	f := findings{}
	f.add(forces, "", traces(r))
	f.add("status", string(r.Status), 1)
	for i := range r.Posts {
		n.addPost(f, &r.Posts[i])
	}
	for i := range r.Rails {
		n.addRail(f, &r.Rails[i])
	}
	for i := range r.Checks {
		c := &r.Checks[i]
		if post := ofPost.FindStringSubmatch(c.Element); post != nil && strings.HasPrefix(c.ID, "base-") {
			if number, _ := strconv.Atoi(post[1]); n.corner(number) {
				continue
			}
		}
		f.addUse("check "+c.ID+" "+c.LimitState, n.element(c.Element), c.Utilisation, c.Status == check.Fail)
	}
	for _, row := range slices.Concat(r.Fittings, r.Splices) {
		f.add("fitting "+row.ExtremeOf, row.Tube, map[string]float64{"slip": row.Slip, "twist": row.Twist, "force": row.Force, "moment": row.Moment}[row.ExtremeOf])
	}
	for _, b := range r.BaseActions {
		axial := strings.HasPrefix(b.ExtremeOf, "Mx") || strings.HasPrefix(b.ExtremeOf, "My")
		if axial && n.corner(b.Post) {
			continue // told in the axes of the leg that ends there, which in a mirror is the other
		}
		f.add("base action "+strings.TrimRight(b.ExtremeOf, "+-")+" "+b.Level, fmt.Sprint("post ", n.post(b.Post), " ", n.extreme(b.ExtremeOf)), extremeOf(&b))
	}
	for _, b := range r.Braces {
		f.add("brace compression", "", b.Compression)
		f.add("brace tension", "", b.Tension)
	}
	for _, it := range slices.Concat(r.Unchecked, r.LeftOut) {
		f.add(fmt.Sprint("open, ", it.Kind, " ", it.Unit), "", it.Demand)
	}
	for _, m := range r.Models {
		joint := strings.Fields(m.Joint) // stiffnesses of splices stand in the order of their rails
		slices.Sort(joint)
		f.addUse("model", strings.Join(joint, " ")+", "+m.Splices, m.LargestUtilisation, true)
	}
	for _, values := range f {
		for _, v := range values {
			slices.Sort(v)
		}
	}
	return f
}

func extremeOf(b *check.BaseAction) float64 {
	switch strings.TrimRight(b.ExtremeOf, "+-") {
	case "Mx":
		return math.Abs(b.Mx)
	case "My":
		return math.Abs(b.My)
	case "Mz":
		return math.Abs(b.Mz)
	case "M":
		return math.Hypot(b.Mx, b.My)
	case "V":
		return math.Hypot(b.Fx, b.Fy)
	}
	return b.Fz
}

func (n *naming) addPost(f findings, p *check.PostRow) {
	e := fmt.Sprint("post ", n.post(p.Post))
	f.add("base moment", e, p.BaseMoment)
	f.add("base shear", e, p.BaseShear)
	f.add("base axial", e, math.Abs(p.BaseAxial))
	f.add("post across", e, p.TopDeflection)
	f.add("post along", e, p.AlongDeflection)
	f.add("post vertical", e, math.Abs(p.VerticalDeflection))
	f.addUse("post utilisation", e, p.Utilisation, true)
	f.addUse("post deflection", e, p.DeflectionUtilisation, true)
}

func (n *naming) addRail(f findings, r *check.RailRow) {
	e := n.words("rail " + r.Rail)
	f.add("rail moment", e, r.Moment)
	f.add("rail shear", e, r.Shear)
	f.add("rail torsion", e, r.Torsion)
	f.add("rail axial", e, math.Abs(r.Axial))
	f.add("rail across", e, r.Deflection)
	f.add("rail span", e, r.SpanDeflection)
	f.add("rail along", e, r.AlongDeflection)
	f.add("rail vertical", e, math.Abs(r.VerticalDeflection))
	f.addUse("rail utilisation", e, r.Utilisation, true)
	f.addUse("rail deflection", e, r.DeflectionUtilisation, true)
}

// largestOf is the largest value of a kind.
func (f findings) largestOf(kind string) float64 {
	largest := 0.0
	for _, values := range f[kind] {
		for _, v := range values {
			largest = math.Max(largest, math.Abs(v))
		}
	}
	return largest
}

// differences lists what differs by more than a share of itself.
func (f findings) differences(g findings, share float64) (out []string) {
	for _, kind := range slices.Sorted(maps.Keys(merged(f, g))) {
		if kind == forces {
			continue
		}
		floor := math.Max(zero*math.Max(f.largestOf(kind), g.largestOf(kind)), math.Max(f.largestOf(forces), g.largestOf(forces)))
		if strings.Contains(kind, "check") || strings.Contains(kind, "utilisation") || strings.Contains(kind, "deflection") || kind == "model" {
			floor = zero
		}
		for _, e := range slices.Sorted(maps.Keys(merged(f[kind], g[kind]))) {
			a, b := f[kind][e], g[kind][e]
			if len(a) != len(b) { // what is nothing is told, or not, as rounding has it
				a, b = above(a, floor), above(b, floor)
			}
			if len(a) != len(b) {
				out = append(out, fmt.Sprintf("%s of %q: %v and %v", kind, e, a, b))
				continue
			}
			for i := range a {
				if d := math.Abs(a[i] - b[i]); d > floor+share*math.Max(math.Abs(a[i]), math.Abs(b[i])) {
					out = append(out, fmt.Sprintf("%s of %q: %.12g and %.12g", kind, e, a[i], b[i]))
				}
			}
		}
	}
	return out
}

// above returns the values whose size is above a floor.
func above(values []float64, floor float64) []float64 {
	return slices.DeleteFunc(slices.Clone(values), func(v float64) bool { return math.Abs(v) <= floor })
}

func merged[V any](a, b map[string]V) map[string]V {
	out := maps.Clone(a)
	if out == nil {
		out = map[string]V{}
	}
	maps.Copy(out, b)
	return out
}

// largest is the largest utilisation of the checks that match.
func largest(r *check.Result, matches func(*check.CheckRow) bool) float64 {
	out := 0.0
	for i := range r.Checks {
		c := &r.Checks[i]
		switch {
		case !matches(c):
		case c.Utilisation != nil:
			out = math.Max(out, *c.Utilisation)
		case c.Status == check.Fail:
			out = math.Inf(1)
		}
	}
	return out
}

func every(*check.CheckRow) bool { return true }

// inSecondOrder reports whether compression raises anything that is told, or is left open for it.
func inSecondOrder(r *check.Result) bool {
	said := slices.ContainsFunc(r.Cautions, func(c check.Caution) bool { return strings.HasPrefix(c.Text, "Second order") })
	return said || slices.ContainsFunc(r.Checks, func(c check.CheckRow) bool { return c.SecondOrder != "" || c.Utilisation == nil })
}
