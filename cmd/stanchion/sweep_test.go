package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/barrier/report"
)

// pair is a barrier that is checked in no time.
const pair = `basis = "EN"
[run]
length = "1.5 m"
spacing = "1.5 m"
toe_plate = "none"
[post]
tube = "EN 10255 DN40 medium"
grade = "S195T"
height = "1100 mm"
[post.base]
stiffness = "rigid"
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
through = true
[fitting]
moment = "free"
[[load]]
kind = "point"
value = "0.3 kN"
direction = "outward"
rail = "top"
[limits]
deflection = "25 mm"
`

// sweepArgs is a small sweep with rows that are read and rows that are not, and of values that
// need quotes; its file stands in a folder of the test's own.
func sweepArgs(t *testing.T, more ...string) []string {
	t.Helper()
	t.Chdir(t.TempDir())
	put(t, "pair.toml", pair)
	return append([]string{"sweep", "pair.toml", "--vary", "rail.top.height=1100mm|1200 mm", "--vary", `title="a, b"|two`}, more...)
}

func contents(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func put(t *testing.T, name, text string) {
	t.Helper()
	_ = os.Remove(name) // to cut an old file short would cost a write to the disk
	if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// A file that is cut off at any byte is gone on with to the same bytes. The rows are made once;
// round the ends of lines the whole command makes them again.
func TestSweepIsResumedFromAnyByte(t *testing.T) {
	for _, format := range []string{"csv", "jsonl"} {
		t.Run(format, func(t *testing.T) {
			args := sweepArgs(t, "--format", format)
			code, whole, stderr := call("", args...)
			if code != exitIncomplete || strings.Count(whole, "\n") < 5 || !strings.Contains(stderr, "of 4 variants 2 are refused") {
				t.Fatalf("exit code %d, %q\n%s", code, stderr, whole)
			}
			c := sweepCall{file: "pair.toml", vary: []string{args[3], args[5]}, format: format, resume: "out"}
			doc, err := barrier.Read(c.file, []byte(pair))
			if err != nil {
				t.Fatal(err)
			}
			sweep, err := explore.NewSweep(doc, c.vary)
			if err != nil {
				t.Fatal(err)
			}
			table := report.NewSweepTable(sweep, c.file, []byte(pair), c.vary, report.SweepOptions{JSONLines: format == "jsonl"})
			var made bytes.Buffer
			rows := &sweepRows{table: table, out: &made, of: map[check.Status]int{}}
			if err := rows.head(); err != nil {
				t.Fatal(err)
			}
			var variants []explore.Variant
			for i := range sweep.Len() {
				variants = append(variants, sweep.Variant(i))
				variants[i].Checks = nil // a shorter row of JSON
				if err := rows.add(&variants[i]); err != nil {
					t.Fatal(err)
				}
			}
			for n := 0; n <= made.Len(); n++ {
				put(t, "out", made.String()[:n])
				rows, err := c.open(table, sweep.Len(), nil)
				if err != nil {
					t.Fatalf("resumed from byte %d: %v", n, err)
				}
				for i := rows.done; i < len(variants); i++ {
					err = errors.Join(err, rows.add(&variants[i]))
				}
				if err = errors.Join(err, rows.file.Close()); err != nil {
					t.Fatal(err)
				}
				if got := contents(t, "out"); got != made.String() || rows.of[explore.Refused] != 2 {
					t.Fatalf("resumed from byte %d it holds\n%s\nwant\n%s", n, got, made.String())
				}
			}
			args = append(args, "--resume", "out")
			for n := range whole {
				if n > 0 && whole[n-1] != '\n' && whole[n] != '\n' {
					continue
				}
				put(t, "out", whole[:n])
				if code, stdout, stderr := call("", args...); code != exitIncomplete || stdout != "" || contents(t, "out") != whole {
					t.Fatalf("resumed from byte %d: exit code %d, %q, %q", n, code, stdout, stderr)
				}
			}
			if err := os.Remove("out"); err != nil {
				t.Fatal(err)
			}
			if code, _, _ := call("", args...); code != exitIncomplete || contents(t, "out") != whole {
				t.Errorf("resumed without a file: exit code %d and\n%s", code, contents(t, "out"))
			}
		})
	}
}

// What is not the file of this very sweep is refused and left as it is.
func TestSweepLeavesOtherFilesAlone(t *testing.T) {
	args := sweepArgs(t)
	_, whole, _ := call("", args...)
	lines := strings.SplitAfter(whole, "\n")
	_, other, _ := call("", "sweep", "pair.toml", "--vary", "run.spacing=1.5m")
	_, jsonl, _ := call("", append(args, "--format", "jsonl")...)
	for name, c := range map[string]struct{ text, want string }{
		"another sweep":     {other, "it is that of another sweep, or of a definition that has changed since; it is left as it is"},
		"another format":    {jsonl, "it does not begin as the file of this sweep does"},
		"no sweep at all":   {"notes of mine\n", "it does not begin as the file of this sweep does"},
		"a row out of turn": {lines[0] + lines[1] + lines[2] + lines[4], "line 4 is not that of this sweep"},
		"a row too many":    {whole + lines[3], "line 8 stands behind the last of 4 rows"},
		"a row changed":     {whole[:len(whole)-len(lines[6])-2] + "\n" + lines[6], "line 6 is not that of this sweep"},
		"a cell too few":    {lines[0] + lines[1] + lines[2] + "1100mm,\"a, b\",pass\n", "line 4 is not that of this sweep: it has 3 cells of 17"},
		"a word for status": {lines[0] + lines[1] + lines[2] + strings.Replace(lines[3], ",incomplete,", ",complete,", 1), `"complete" is no status`},
		"a strange ending":  {lines[0] + lines[1] + lines[2] + "12", "line 4 is not that of this sweep"},
	} {
		put(t, "out", c.text)
		code, _, stderr := call("", append(args, "--resume", "out")...)
		if code != exitWrong || !strings.Contains(stderr, c.want) {
			t.Errorf("%s: exit code %d, %q, want %q", name, code, stderr, c.want)
		}
		if got := contents(t, "out"); got != c.text {
			t.Errorf("%s: the file has become\n%s", name, got)
		}
	}
	// The definition has changed since.
	put(t, "out", whole)
	put(t, "pair.toml", contents(t, "pair.toml")+"# changed\n")
	if code, _, stderr := call("", append(args, "--resume", "out")...); code != exitWrong || !strings.Contains(stderr, "a definition that has changed since") || contents(t, "out") != whole {
		t.Errorf("after a change: exit code %d, %q", code, stderr)
	}
	// -o writes over nothing unless it is forced to, and never over the definition.
	if code, _, stderr := call("", append(args, "-o", "out")...); code != exitWrong || !strings.Contains(stderr, "--resume out goes on with a sweep that was begun, --force writes it anew") || contents(t, "out") != whole {
		t.Errorf("-o: exit code %d, %q", code, stderr)
	}
	if code, _, stderr := call("", append(args, "-o", "pair.toml", "--force")...); code != exitWrong || !strings.Contains(stderr, "that is the definition itself") {
		t.Errorf("-o of the definition: exit code %d, %q", code, stderr)
	}
	if code, _, stderr := call("", append(args, "-o", "out", "--force")...); code != exitIncomplete || contents(t, "out") == whole {
		t.Errorf("--force: exit code %d, %q", code, stderr)
	}
}

// stopAt ends a call while the row of so many lines is written.
type stopAt struct {
	bytes.Buffer
	lines int
	stop  func()
}

func (s *stopAt) Write(text []byte) (int, error) {
	n, err := s.Buffer.Write(text)
	if bytes.Count(s.Bytes(), []byte("\n")) >= s.lines {
		s.stop()
	}
	return n, err
}

func TestInterruptedSweepKeepsItsRows(t *testing.T) {
	args := sweepArgs(t)
	_, whole, _ := call("", args...)
	ctx, stop := context.WithCancel(context.Background())
	out := &stopAt{lines: 5, stop: stop}
	var stderr bytes.Buffer
	code := run(ctx, args, strings.NewReader(""), out, &stderr)
	if code != exitInterrupted || !strings.HasPrefix(whole, out.String()) || strings.Count(out.String(), "\n") != 5 {
		t.Errorf("exit code %d and\n%s", code, out.String())
	}
	if want := "stanchion: interrupted: 2 of 4 rows are written\n"; stderr.String() != want {
		t.Errorf("it says %q, want %q", stderr.String(), want)
	}
	ctx, stop = context.WithCancel(context.Background())
	stop()
	stderr.Reset()
	code = run(ctx, append(args, "--checks", "post-bending", "-o", "out put.csv"), strings.NewReader(""), out, &stderr)
	const resume = `stanchion: interrupted: 0 of 4 rows are in out put.csv; go on with
  stanchion sweep pair.toml --vary 'rail.top.height=1100mm|1200 mm' --vary 'title="a, b"|two' --checks post-bending --resume 'out put.csv'
`
	if code != exitInterrupted || stderr.String() != resume {
		t.Errorf("exit code %d and\n%s\nwant\n%s", code, stderr.String(), resume)
	}
	if code, _, _ := call("", append(args, "--checks", "post-bending", "--resume", "out put.csv")...); code != exitIncomplete {
		t.Errorf("resumed: exit code %d", code)
	}
}

// A process that is killed leaves the rows that it had written, and signals end with 130.
func TestKilledSweepIsResumed(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no signals")
	}
	args := sweepArgs(t)
	args = append(args[:2:2], "--vary", "run.length=1m..2m:10um") // minutes of work
	for _, signal := range []os.Signal{os.Kill, os.Interrupt} {
		name := strings.ReplaceAll(signal.String(), " ", "")
		process := exec.Command("stanchion", append(args, "-o", name)...)
		var stderr bytes.Buffer
		process.Stderr = &stderr
		if err := process.Start(); err != nil {
			t.Fatal(err)
		}
		for start := time.Now(); strings.Count(sofar(name), "\n") < 8; time.Sleep(time.Millisecond) {
			if time.Since(start) > time.Minute {
				t.Fatalf("no rows after a minute: %q", stderr.String())
			}
		}
		if err := process.Process.Signal(signal); err != nil {
			t.Fatal(err)
		}
		err := process.Wait()
		var exit *exec.ExitError
		if !errors.As(err, &exit) || signal == os.Interrupt && exit.ExitCode() != exitInterrupted {
			t.Errorf("%v: %v, %q", signal, err, stderr.String())
		}
		kept := sofar(name)
		rows := strings.Count(kept, "\n") - 3
		if signal == os.Interrupt && !strings.Contains(stderr.String(), "interrupted: "+strconv.Itoa(rows)+" of 100001 rows are in interrupt; go on with\n  stanchion sweep pair.toml --vary run.length=1m..2m:10um --resume interrupt\n") {
			t.Errorf("%d rows are kept, and it says %q", rows, stderr.String())
		}
		// Resumed for a few rows more it keeps what it had.
		ctx, stop := context.WithCancel(context.Background())
		time.AfterFunc(100*time.Millisecond, stop)
		if code := run(ctx, append(args, "--resume", name), strings.NewReader(""), &stderr, &stderr); code != exitInterrupted || !strings.HasPrefix(sofar(name), kept[:strings.LastIndexByte(kept, '\n')+1]) {
			t.Errorf("%v: resumed it ends with %d and has not kept its %d rows", signal, code, rows)
		}
	}
}

// While a process writes a file no other does, however it is asked to; a process that is killed
// leaves neither a lock nor another file behind.
func TestOneProcessWritesTheFileOfASweep(t *testing.T) {
	args := sweepArgs(t)
	args = append(args[:2:2], "--vary", "run.length=1m..2m:10um") // minutes of work
	process := exec.Command("stanchion", append(args, "-o", "out.csv")...)
	if err := process.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = process.Process.Kill() }()
	for start := time.Now(); strings.Count(sofar("out.csv"), "\n") < 8; time.Sleep(time.Millisecond) {
		if time.Since(start) > time.Minute {
			t.Fatal("no rows after a minute")
		}
	}
	kept := sofar("out.csv")
	kept = kept[:strings.LastIndexByte(kept, '\n')+1]
	if err := os.Link("out.csv", "other.csv"); err != nil {
		t.Fatal(err)
	}
	stopped, stop := context.WithCancel(context.Background()) // one that is let through ends at once
	stop()
	for _, c := range []struct {
		name string
		more []string
	}{
		{"out.csv", []string{"-o", "out.csv"}},
		{"out.csv", []string{"-o", "out.csv", "--force"}},
		{"out.csv", []string{"--resume", "out.csv"}},
		{"other.csv", []string{"-o", "other.csv", "--force"}},
	} {
		want := fmt.Sprintf("stanchion: another process is writing %s: wait for it or choose another file\n", c.name)
		var stdout, stderr bytes.Buffer
		if code := run(stopped, append(args, c.more...), strings.NewReader(""), &stdout, &stderr); code != exitWrong || stdout.Len() > 0 || stderr.String() != want {
			t.Errorf("%q: exit code %d, %q, want %q", c.more, code, stderr.String(), want)
		}
		if !strings.HasPrefix(sofar("out.csv"), kept) {
			t.Errorf("%q: the file has lost its rows", c.more)
		}
	}
	if err := process.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	if err := process.Wait(); err == nil {
		t.Fatal("the sweep has come to its end")
	}
	entries, err := os.ReadDir(".")
	if err != nil || len(entries) != 3 { // pair.toml, out.csv and its other name
		t.Errorf("it leaves %v behind (%v)", entries, err)
	}
	var stderr bytes.Buffer
	if code := run(stopped, append(args, "--resume", "out.csv"), strings.NewReader(""), &stderr, &stderr); code != exitInterrupted || !strings.HasPrefix(sofar("out.csv"), kept) {
		t.Errorf("resumed after a kill: exit code %d, %s", code, stderr.String())
	}
	short := []string{"sweep", "pair.toml", "--vary", "run.length=1.5m", "-o", "out.csv", "--force"}
	if code, _, stderr := call("", short...); code != exitPass || strings.Count(sofar("out.csv"), "\n") != 4 {
		t.Errorf("written anew after a kill: exit code %d, %q", code, stderr)
	}
}

// The bar of a sweep tells the time that has gone and the time that is left.
func TestSweepTellsTheTimeLeft(t *testing.T) {
	var screen bytes.Buffer
	bar := &progress{out: &screen}
	bar.at(1, 4)
	if !regexp.MustCompile(`1/4.*\[\w+:\w+\]`).MatchString(screen.String()) {
		t.Errorf("a quarter is drawn as %q", screen.String())
	}
}

// A value with a sign stands in a cell as it was written, and is gone on with.
func TestSweepOfNegativeValuesIsResumed(t *testing.T) {
	args := sweepArgs(t)
	args = append(args[:2:2], "--vary", "post.base.level=-100 mm..-50 mm:50 mm", "--resume", "out.csv")
	code, _, stderr := call("", args...)
	whole := sofar("out.csv")
	if code != exitPass || !strings.Contains(whole, "\n-100 mm,") || !strings.Contains(whole, "\n-50 mm,") {
		t.Fatalf("exit code %d, %q\n%s", code, stderr, whole)
	}
	put(t, "out.csv", whole[:strings.Index(whole, "\n-50 mm")+3])
	if code, _, stderr := call("", args...); code != exitPass || sofar("out.csv") != whole {
		t.Errorf("resumed: exit code %d, %q\n%s\nwant\n%s", code, stderr, sofar("out.csv"), whole)
	}
}

func sofar(name string) string {
	data, err := os.ReadFile(name)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err.Error()
	}
	return string(data)
}

func TestSweepOnAFullDiskSaysHowToGoOn(t *testing.T) {
	args := sweepArgs(t)
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("no /dev/full")
	}
	code, _, stderr := call("", append(args, "-o", "/dev/full")...)
	if code != exitWrong || !strings.Contains(stderr, "no space left") {
		t.Errorf("exit code %d, %q", code, stderr)
	}
	var told bytes.Buffer
	code = run(context.Background(), args, strings.NewReader(""), fullDisk{}, &told)
	if code != exitWrong || !strings.Contains(told.String(), "no space left") {
		t.Errorf("exit code %d, %q", code, told.String())
	}
}

// CSV and JSON lines say the same, and all checks have a column by request.
func TestSweepFormatsAgree(t *testing.T) {
	args := sweepArgs(t)
	_, text, _ := call("", append(args, "--checks", "all")...)
	_, lines, _ := call("", append(args, "--format", "jsonl")...)
	reader := csv.NewReader(strings.NewReader(text))
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	if err != nil || len(rows) != 5 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	objects := strings.Split(strings.TrimSuffix(lines, "\n"), "\n")
	var head struct {
		Cautions []struct{ ID, Text string }
		Variants int
	}
	if err := json.Unmarshal([]byte(objects[0]), &head); err != nil || head.Variants != 4 || head.Cautions[0].ID != "C1" || !strings.Contains(text, "# C1 "+head.Cautions[0].Text+"\n") {
		t.Errorf("the head is %s (%v)", objects[0], err)
	}
	for i, object := range objects[1:] {
		var row map[string]any
		if err := json.Unmarshal([]byte(object), &row); err != nil {
			t.Fatal(err)
		}
		checks := map[string]any{}
		for _, c := range row["checks"].([]any) {
			checks[c.(map[string]any)["id"].(string)] = c.(map[string]any)["utilisation"]
		}
		for k, name := range rows[0] {
			want, known := row[name]
			if value, ok := row["values"].(map[string]any)[name]; ok {
				want, known = value, true
			}
			if id, ok := strings.CutPrefix(name, "utilisation "); ok {
				want, known = checks[id], true
			}
			if got := rows[i+1][k]; !known || got != cell(want) {
				t.Errorf("row %d: %s is %q in CSV and %v in JSON", i+1, name, got, want)
			}
		}
	}
}

// cell returns a value of JSON as it stands in CSV.
func cell(value any) string {
	switch v := value.(type) {
	case string:
		return v
	case bool:
		return strconv.FormatBool(v)
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return ""
}

// The same call gives the same bytes on one processor and on many.
func TestSweepIsTheSameOnAnyProcessors(t *testing.T) {
	args := sweepArgs(t)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	_, one, _ := call("", args...)
	runtime.GOMAXPROCS(8)
	if _, eight, _ := call("", args...); one != eight {
		t.Errorf("on one processor\n%s\non eight\n%s", one, eight)
	}
}
