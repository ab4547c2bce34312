package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"example.com/stanchion/internal/golden"
)

// exampleCodes is the exit code that each example is made to have.
func exampleCodes() map[string]int {
	return map[string]int{
		"boat-house":        exitPass,
		"boiler-gallery":    exitPass,
		"brine-platform":    exitPass,
		"bund-path":         exitPass,
		"cable-gallery":     exitPass,
		"cellar-stair":      exitPass,
		"clarifier-walkway": exitPass,
		"compressor-deck":   exitPass,
		"dosing-room":       exitPass,
		"fish-pass":         exitPass,
		"gallery":           exitPass,
		"grain-loft":        exitPass,
		"hangar-roof":       exitPass,
		"hoist-opening":     exitPass,
		"inlet-channel":     exitPass,
		"kiln-walk":         exitIncomplete,
		"loading-bay":       exitFail,
		"mill-platform":     exitPass,
		"mixing-deck":       exitPass,
		"orchard-bank":      exitPass,
		"ore-bridge":        exitPass,
		"pump-pit":          exitPass,
		"pump-terrace":      exitIncomplete,
		"quay-gate":         exitIncomplete,
		"repair-staging":    exitPass,
		"roof-edge":         exitPass,
		"roof-terrace":      exitPass,
		"sampling-platform": exitIncomplete,
		"screen-house-asd":  exitPass,
		"screen-house-lrfd": exitPass,
		"settling-tanks":    exitIncomplete,
		"signal-deck":       exitPass,
		"sluice-crossing":   exitPass,
		"snow-lookout":      exitPass,
		"spray-walk":        exitPass,
		"valve-platform":    exitIncomplete,
		"vat-house":         exitPass,
		"weir-bridge":       exitIncomplete,
		"weir-walk":         exitFail,
	}
}

// TestExamples holds the reports of the example barriers, text and JSON, and
// that they do not depend on the number of processors.
func TestExamples(t *testing.T) {
	files, err := filepath.Glob("../../testdata/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != len(exampleCodes()) {
		t.Errorf("%d examples in testdata, %d have an exit code here", len(files), len(exampleCodes()))
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".toml")
		for _, format := range []string{"text", "json"} {
			ending := strings.Replace("."+format, "text", "txt", 1)
			t.Run(name+ending, func(t *testing.T) {
				code, one := onProcessors(1, file, format)
				_, eight := onProcessors(8, file, format)
				if want, ok := exampleCodes()[name]; !ok || code != want {
					t.Errorf("exit code %d, want %d", code, want)
				}
				if one != eight {
					t.Error("the report on 8 processors is not that on 1")
				}
				golden.Check(t, "../../testdata/"+name+ending, []byte(one))
			})
		}
	}
}

func onProcessors(n int, file, format string) (code int, report string) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
	code, report, stderr := call("", "check", "--format", format, file)
	return code, report + stderr
}

// TestHelpExamples runs every example of every help page beside the example
// barriers and compares its exit code with the one that the page gives. A page
// fits 80 columns.
func TestHelpExamples(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../testdata")); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	var pages func(cmd *cobra.Command)
	pages = func(cmd *cobra.Command) {
		_, page, _ := call("", append(words(cmd.CommandPath())[1:], "--help")...)
		examples := regexp.MustCompile(`(?m)^  (stanchion .*?)\s+# exit (\d+)$`).FindAllStringSubmatch(page, -1)
		if len(examples) == 0 {
			t.Errorf("%s --help has no example with an exit code", cmd.CommandPath())
		}
		if !strings.Contains(page, exitCodes) {
			t.Errorf("%s --help does not list the exit codes", cmd.CommandPath())
		}
		for line := range strings.Lines(page) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 {
				t.Errorf("%s --help: %d columns: %s", cmd.CommandPath(), n, line)
			}
		}
		for _, example := range examples {
			command, stdin := redirected(t, example[1])
			want, _ := strconv.Atoi(example[2])
			if got, _, stderr := call(stdin, words(command)[1:]...); got != want {
				t.Errorf("%s: %q ends with %d, the page says %d\n%s", cmd.CommandPath(), command, got, want, stderr)
			}
		}
		for _, sub := range cmd.Commands() {
			if sub.IsAvailableCommand() && sub.Name() != "help" {
				pages(sub)
			}
		}
	}
	pages(rootCommand())
}

// redirected takes "< file" off a command.
func redirected(t *testing.T, command string) (rest, stdin string) {
	rest, file, found := strings.Cut(command, " < ")
	if !found {
		return command, ""
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return rest, string(data)
}

// words parts a command at its spaces, but for those inside double quotes.
func words(command string) []string {
	var all []string
	for _, word := range regexp.MustCompile(`"[^"]*"|\S+`).FindAllString(command, -1) {
		all = append(all, strings.Trim(word, `"`))
	}
	return all
}

// TestReadme holds what README.md shows. A block below a comment
//
//	<!-- file: testdata/gallery.toml -->
//	<!-- output: stanchion check testdata/gallery.toml; exit 0 -->
//	<!-- output: stanchion check testdata/gallery.toml; exit 0; from Load path; until Posts: -->
//	<!-- part of: testdata/gallery.toml; from [post.base]; until [[rail]] -->
//	<!-- added to: testdata/gallery.toml; exit 0 -->
//
// is that file, or what that command prints; in the third form from the first line that
// starts so to the next that starts so, either left out, with "..." where more follows. The
// fourth is such a part of a file. In the last form it is tables that stand behind
// those of that file, and a check of the whole ends so. With -update files, parts and
// outputs are written anew.
func TestReadme(t *testing.T) {
	t.Chdir("../..")
	page, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	block := regexp.MustCompile("(?s)(<!-- (file|part of|output|added to): ([^\n]*) -->\n+```[a-z]*\n)(.*?)(```\n)")
	kinds := []string{}
	fresh := block.ReplaceAllStringFunc(string(page), func(old string) string {
		part := block.FindStringSubmatch(old)
		kinds = append(kinds, part[2])
		shown := part[4]
		switch part[2] {
		case "file":
			shown = fileShown(t, part[3])
		case "output":
			shown = outputShown(t, part[3])
		case "part of":
			name, cut, _ := strings.Cut(part[3], "; ")
			shown = strings.TrimSuffix(cutOut(t, fileShown(t, name), name, strings.Split(cut, "; ")), "\n...\n")
		default:
			checkAdded(t, part[3], shown)
		}
		return part[1] + shown + part[5]
	})
	for _, kind := range []string{"file", "part of", "output", "added to"} {
		if !slices.Contains(kinds, kind) {
			t.Errorf("README.md shows %v, none of them %q", kinds, kind)
		}
	}
	golden.Check(t, "README.md", []byte(fresh))
}

func fileShown(t *testing.T, name string) string {
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// checkAdded checks the barrier of a file with tables added to it.
func checkAdded(t *testing.T, order, tables string) {
	name, exit, _ := strings.Cut(order, "; ")
	code, _, stderr := call(fileShown(t, name)+"\n"+tables, "check", "-")
	if "exit "+strconv.Itoa(code) != exit {
		t.Errorf("README.md: %s with the tables below ends with %d, the page says %s\n%s%s", name, code, exit, tables, stderr)
	}
}

func outputShown(t *testing.T, order string) string {
	parts := strings.Split(order, "; ")
	if len(parts) < 2 {
		t.Fatalf("README.md: %q does not say the exit code", order)
	}
	code, stdout, stderr := call("", words(parts[0])[1:]...)
	if "exit "+strconv.Itoa(code) != parts[1] {
		t.Errorf("README.md: %s ends with %d, the page says %s", parts[0], code, parts[1])
	}
	if len(parts) == 2 {
		return stdout + stderr
	}
	return cutOut(t, stdout, parts[0], parts[2:])
}

// cutOut returns the lines of a text "from" one that starts so "until" one that starts so.
func cutOut(t *testing.T, text, of string, ends []string) string {
	for _, end := range ends {
		which, start, _ := strings.Cut(end, " ")
		before, after, found := strings.Cut("\n"+text, "\n"+start)
		switch {
		case !found || which != "from" && which != "until":
			t.Errorf("README.md: no line of %s for %q", of, end)
		case which == "from":
			text = start + after
		default:
			text = strings.Trim(before, "\n") + "\n\n...\n"
		}
	}
	return text
}

// TestReportsHold80Columns holds that a report of every example, with its trails, fits
// 80 columns in either system of units.
func TestReportsHold80Columns(t *testing.T) {
	files, err := filepath.Glob("../../testdata/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	units := regexp.MustCompile(`(?m)^units *=.*$`)
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, system := range []string{"metric", "US"} {
			text := "units = \"" + system + "\"\n" + units.ReplaceAllString(string(data), "")
			_, out, _ := call(text, "check", "--trails", "-")
			if !strings.Contains(out, "Self-check") {
				t.Errorf("%s in %s units gives no report", file, system)
			}
			for line := range strings.Lines(out) {
				if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 {
					t.Errorf("%s in %s units: %d columns: %s", file, system, n, line)
				}
			}
		}
	}
}

// Every value of a report says by one of a few words how it is known, and a plain number has the
// unit "1" wherever it stands; an item of which nothing is asked has none.
func TestExamplesSayTheSameTheSameWay(t *testing.T) {
	files, err := filepath.Glob("../../testdata/*.json")
	if err != nil || len(files) < len(exampleCodes()) {
		t.Fatalf("%d reports: %v", len(files), err)
	}
	words, units := map[any]int{}, map[any]int{}
	var walk func(file, under string, v any)
	walk = func(file, under string, v any) {
		switch v := v.(type) {
		case []any:
			for _, e := range v {
				walk(file, under, e)
			}
		case map[string]any:
			for key, e := range v {
				walk(file, key, e)
			}
			if word, has := v["provenance"]; has {
				words[word]++
			}
			unit, has := v["unit"]
			_, isItem := v["reason"]
			_, isLoad := v["stands"] // a load that is found in steps has no value
			if !has {
				return
			}
			units[unit]++
			switch {
			case isItem && unit == "1" && v["demand"] == 0.0, !isItem && !isLoad && unit == "":
				t.Errorf("%s: unit %q of %v in %s", file, unit, v, under)
			}
		}
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var report any
		if err := json.Unmarshal(data, &report); err != nil {
			t.Fatal(err)
		}
		walk(filepath.Base(file), "", report)
	}
	known := []string{"public", "memory", "derived", "common-practice", "the user's"}
	for word := range words {
		if !slices.Contains(known, fmt.Sprint(word)) {
			t.Errorf("provenance %q, want one of %q", word, known)
		}
	}
	if len(words) < len(known) || units["1"] == 0 {
		t.Errorf("provenance %v, units %v", words, units)
	}
}
