package main

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
	"example.com/stanchion/solver"
)

// FuzzCheck takes anything from its bytes to the JSON of its check: a result that is finite and
// agrees with itself, or an error of a named kind at a place of the file.
func FuzzCheck(f *testing.F) {
	for _, text := range smallBarriers(f) {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		judgeCheck(t, string(data), 0)
	})
}

// FuzzEdited checks a small barrier after a few edits of its lines, as new or at a year. Edits
// reach what bytes at random do not: values that are odd and still read.
func FuzzEdited(f *testing.F) {
	small := smallBarriers(f)
	for which := range small {
		f.Add(byte(which), byte(0), []byte{})
	}
	f.Fuzz(func(t *testing.T, which, year byte, edits []byte) {
		judgeCheck(t, edited(small, int(which), edits), int(year))
	})
}

// smallBarriers are those of testdata/small, of a few posts each, in the order of their names.
func smallBarriers(t testing.TB) (texts []string) {
	files, err := filepath.Glob("testdata/small/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no barriers (%v)", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, string(data))
	}
	return texts
}

// judgeCheck checks a barrier by a call of the program, at a year where that is not 0.
func judgeCheck(t *testing.T, text string, year int) {
	if !isSmall(text) {
		return
	}
	args := []string{"check", "--format", "json", "--all-base-actions", "-"}
	if year > 0 {
		args = append(args, "--at-year", strconv.Itoa(year))
	}
	code, stdout, stderr := call(text, args...)
	if t.Failed() || strings.Contains(stderr, "bug in the program") {
		t.Fatalf("%s\n%s", stderr, text)
	}
	switch {
	case stdout != "":
		judgeResult(t, text, code, stdout)
		if stderr != "" {
			t.Errorf("a report and an error: %s\n%s", stderr, text)
		}
	case code == exitWrong:
		judgeRefusal(t, text, stderr)
	case code == exitFail && year > 0 && strings.Contains(stderr, "no wall is left"):
	case code == exitUntrusted:
		judgeUntrusted(t, text, year)
	default:
		t.Errorf("exit code %d without a report: %s\n%s", code, stderr, text)
	}
}

// isSmall reports whether a barrier is checked fast, or is none: then it is refused fast.
func isSmall(text string) bool {
	d, err := barrier.Parse("-", []byte(text))
	return err != nil || len(d.Run.Posts) <= 9 && len(d.Rails) <= 4 && len(d.Loads) <= 5 && len(d.Braces) <= 3 && len(d.Run.Legs) <= 4
}

var problemAt = regexp.MustCompile(`(?m)^standard input:(\d+):(\d+): (.+)$`)

// judgeRefusal holds what is said of a wrong file to its lines.
func judgeRefusal(t *testing.T, text, stderr string) {
	lines := strings.Split(strings.TrimPrefix(text, "\ufeff"), "\n")
	if stderr == "" {
		t.Errorf("refused without a word\n%s", text)
	}
	if strings.ContainsAny(stderr, "\x1b\x00\r") {
		t.Errorf("the message holds control characters: %q", stderr)
	}
	for _, m := range problemAt.FindAllStringSubmatch(stderr, -1) {
		line, _ := strconv.Atoi(m[1])
		col, _ := strconv.Atoi(m[2])
		if line < 1 || line > len(lines) || col < 1 || col > len([]rune(lines[line-1]))+1 {
			t.Errorf("%s is not in the file\n%s", m[0], text)
		}
	}
}

// judgeUntrusted wants an error of a kind that has a name where a calculation gave no result.
func judgeUntrusted(t *testing.T, text string, year int) {
	walls := &wallsOf{asked: year > 0, year: float64(year), level: sections.HighRate}
	f, result, _ := calculate("-", strings.NewReader(text), "json", walls, check.Options{Units: quantity.Metric})
	if result != nil {
		t.Errorf("a result of which no JSON could be written\n%s", text)
		return
	}
	var (
		mechanism *solver.MechanismError
		ill       *solver.IllConditionedError
		untrusted *check.UntrustedError
		worn      *check.WornError
	)
	if !errors.As(f.err, &mechanism) && !errors.As(f.err, &ill) && !errors.As(f.err, &untrusted) && !errors.As(f.err, &worn) {
		t.Errorf("%v (%T) is of no named kind\n%s", f.err, f.err, text)
	}
}

// resultSchema is the schema of a result, by a library that is not ours.
var resultSchema = sync.OnceValues(func() (*jsonschema.Schema, error) {
	var text strings.Builder
	if err := report.Schema(&text, "result"); err != nil {
		return nil, err
	}
	document, err := jsonschema.UnmarshalJSON(strings.NewReader(text.String()))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("https://example.com/result.json", document); err != nil {
		return nil, err
	}
	return c.Compile("https://example.com/result.json")
})

// judgeResult holds a result to its schema and to itself. A number that is not finite has no JSON.
func judgeResult(t *testing.T, text string, code int, stdout string) {
	schema, err := resultSchema()
	if err != nil {
		t.Fatal(err)
	}
	document, err := jsonschema.UnmarshalJSON(strings.NewReader(stdout))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if err := schema.Validate(document); err != nil {
		t.Errorf("%v\n%s", err, text)
	}
	var r struct {
		check.Result
		Inputs json.RawMessage `json:"inputs"` // an object, in the order of the file
	}
	if err := json.Unmarshal([]byte(stdout), &r); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	judgement := disagreements(&r.Result)
	if want := exitCode(r.Status); code != want {
		judgement = append(judgement, "the exit code is "+strconv.Itoa(code)+" of "+string(r.Status))
	}
	for _, fault := range judgement {
		t.Error(fault)
	}
	if len(judgement) > 0 {
		t.Logf("of\n%s", text)
	}
}

// unbounded stands for a utilisation without bound.
func unbounded(u *float64) float64 {
	if u == nil {
		return math.Inf(1)
	}
	return *u
}

// disagreements are what in a result does not go together.
func disagreements(r *check.Result) (faults []string) {
	fault := func(words ...string) { faults = append(faults, strings.Join(words, " ")) }
	if len(r.Cautions) == 0 || r.Cautions[0].ID != "C1" || !r.Cautions[0].Triggered || r.Cautions[0].Text != check.PreCheck {
		fault("caution C1 is not on top")
	}
	if r.Headline == "" {
		fault("no headline")
	}
	failed, worst := false, 0.0
	for i := range r.Checks {
		row := &r.Checks[i]
		of := row.ID + " of " + row.Element
		yield := strings.HasSuffix(row.ID, "-yield")
		switch u := unbounded(row.Utilisation); row.Status {
		case check.Pass:
			if u > 1 {
				fault(of, "passes above 1")
			}
			if !yield {
				worst = max(worst, u)
			}
		case check.Fail:
			if !(u >= 1) { // 1.0000000004 is printed as 1
				fault(of, "fails below 1")
			}
			failed, worst = true, max(worst, u)
		case check.Unchecked:
			if row.Utilisation != nil {
				fault(of, "is unchecked and has a utilisation")
			}
		default:
			fault(of, "has the status", string(row.Status))
		}
		if row.Demand < 0 {
			fault(of, "has a demand below nothing")
		}
	}
	for i := range r.Geometry {
		failed = failed || r.Geometry[i].Status == check.Fail
	}
	want := check.Pass
	switch {
	case failed:
		want = check.Fail
	case len(r.Unchecked) > 0:
		want = check.Incomplete
	}
	if r.Status != want {
		fault("the verdict is", string(r.Status), "where its rows say", string(want))
	}
	if len(r.Checks) == 0 && r.Status == check.Pass {
		fault("nothing was checked, and passes")
	}
	if overall := r.Governing.Overall; overall.ID != "" && thousandth(unbounded(overall.Utilisation)) != thousandth(worst) || overall.ID == "" && worst > 0 {
		fault("what governs is", strconv.FormatFloat(unbounded(overall.Utilisation), 'g', -1, 64), "and the worst row", strconv.FormatFloat(worst, 'g', -1, 64))
	}
	for i := range r.LoadPath {
		l := &r.LoadPath[i]
		if l.Status == check.Unchecked && r.Status == check.Pass {
			fault("link", l.Link, "is unchecked, and the verdict is pass")
		}
		if l.Utilisation != nil && *l.Utilisation > worst {
			fault("link", l.Link, "is worse than any row")
		}
	}
	for i := range r.Posts {
		p := &r.Posts[i]
		if p.Utilisation != nil && *p.Utilisation > worst || p.DeflectionUtilisation != nil && *p.DeflectionUtilisation > worst {
			fault("post", strconv.Itoa(p.Post), "is worse than any row")
		}
	}
	for i := range r.BaseActions {
		b := &r.BaseActions[i]
		if b.ExtremeOf != "M" || b.Level != "design" {
			continue
		}
		// Second order below 1.01 is in the action on a foot alone; above, the post has its bound.
		if m, told := math.Hypot(b.Mx, b.My), r.Posts[b.Post-1].BaseMoment; m > 1.011*told {
			fault("the action on the foot of post", strconv.Itoa(b.Post), "is more than the largest that is told of the post")
		}
	}
	for _, residual := range []string{r.SelfCheck.StiffnessResidual, r.SelfCheck.EquilibriumResidual, r.SelfCheck.PlacementResidual} {
		if v, err := strconv.ParseFloat(residual, 64); err != nil || v > 1e-8 {
			fault("a residual is", residual)
		}
	}
	return faults
}

// thousandth is a utilisation as it is printed.
func thousandth(u float64) float64 { return math.Ceil(u*1000 - 1e-6) }

// Every small barrier has a result: one that were refused would be fuzzed for nothing.
func TestSmallBarriersAreChecked(t *testing.T) {
	for i, text := range smallBarriers(t) {
		if !isSmall(text) {
			t.Errorf("barrier %d is not small", i)
		}
		if code, stdout, stderr := call(text, "check", "-"); stdout == "" {
			t.Errorf("barrier %d: exit code %d, %s", i, code, stderr)
		}
	}
}
