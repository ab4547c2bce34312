package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// hostileInput is a file that no barrier is read from.
type hostileInput struct {
	name string
	make func(path string) error // puts it there
	says string                  // what is told of it
	each bool                    // it is read, and refused for each variant of a sweep in the row of that
}

// size50 is the length of the large files, bytes.
const size50 = 50 << 20

// hostileInputs are files that are too large or too odd to be kept.
func hostileInputs(gallery string) []hostileInput {
	text := func(before, piece string, n int, after string) func(string) error {
		return func(path string) error { return repeated(path, before, piece, n, after) }
	}
	many := func(table string, n int) func(string) error { return text(gallery, "[["+table+"]]\n", n, "") }
	in := func(old, before, piece string, n int, after string) func(string) error {
		head, tail, found := strings.Cut(gallery, old)
		if !found {
			panic("the example has no " + old)
		}
		return text(head+before, piece, n, after+tail)
	}
	const run = "length  = \"9 m\"\nspacing = \"1.5 m\""
	const height = `height = "1100 mm"`
	const million = 1_000_000
	tooLarge, notText := "more than 4 MiB", "not plain text in UTF-8"
	return []hostileInput{
		{"50 MB that say nothing new", text(gallery, "# nothing\n", size50/10, ""), tooLarge, false},
		{"50 MB of one line", text(`title = "`, "a", size50, "\"\n"+gallery), tooLarge, false},
		{"50 MB of bytes by chance", junk, notText, false},
		{"50 MB of zeros", text("", "\x00", size50, ""), notText, false},
		{"50 MB of brackets", text("", "[", size50, ""), tooLarge, false},
		{"a million posts by number", in(run, "posts = 1000000", "", 0, ""), "a list is wanted, this is a number", false},
		{"a million posts by spacing", in(run, `length = "400000 m"`+"\n"+`spacing = "0.4 m"`, "", 0, ""), "more than 200000 posts", true},
		{"a million places", in(run, "posts = [", `"1m",`, million, "]"), tooLarge, false},
		{"a million short places", in(run, "posts = [", "1,", million, "]"), "more than 250000 keys and values", false},
		{"a million loads", many("load", million), tooLarge, false},
		{"a million loads in braces", text("load = [", "{},", million, "]\n"+gallery), "opens 10000", false},
		{"9 000 loads", many("load", 9_000), "9001 tables [[load]], at most 500 are read", false},
		{"9 000 rails", many("rail", 9_000), "9002 tables [[rail]], at most 50 are read", false},
		{"9 000 braces", many("brace", 9_000), "9000 tables [[brace]], at most 500 are read", false},
		{"9 000 gaps", many("gap", 9_000), "9000 tables [[gap]], at most 1000 are read", false},
		{"9 000 gates", many("gate", 9_000), "9000 tables [[gate]], at most 1000 are read", false},
		{"9 000 posts of a survey", many("survey.post", 9_000), "survey.post[0]: post is missing", true},
		{"9 000 combinations", many("combinations.own", 9_000), "9000 tables [[combinations.own]], at most 50 are read", false},
		{"9 000 tubes of a stock", many("stock.tubes", 9_000), "9000 tables [[stock.tubes]], at most 2000 are read", false},
		{"200 000 posts and 50 rails", wide(gallery, run, 200_000, 50, 1), "make 10000000 fittings, at most 400000 are read", true},
		{"100 000 posts and 100 loads", wide(gallery, run, 100_000, 2, 100), "200000 fittings under 100 loads", true},
		{"lists 100 000 deep", in(height, "height = ", "[", 100_000, ""), "opens 100", false},
		{"lists 9 000 deep", in(height, "height = ", "[", 9_000, ""), "nested more than 64 deep", false},
		{"tables 9 000 deep", in(height, "height = ", "{a=", 9_000, ""), "nested more than 64 deep", false},
		{"a key of 100 000 parts", in(height, "", "a.", 100_000, "a = 1"), "nested more than 64 deep", false},
		{"a table of 100 000 parts", text(gallery+"[", "a.", 100_000, "a]\n"), "nested more than 64 deep", false},
		{"100 000 keys", text(keys(100_000)+gallery, "", 0, ""), "unknown key at the top level", false},
		{"a key of 4 MB", in(height, "", "k", 4_000_000, " = 1"), "unknown key in [post]", false},
		{"a quantity of 4 MB", in(height, `height = "`, "1", 4_000_000, ` mm"`), "too long for a length", false},
		{"an exponent of 4 MB", in(height, "height = 1e", "9", 4_000_000, ""), "is no number of TOML", false},
		{"a tube of 4 MB", in(`"EN 10255 DN40 medium"`, `"`, "EN ", 1_300_000, `"`), "a name of", false},
		{"a text of quotes", text("", `"`, 4_000_000, ""), "1:", false},
		{"a folder", func(path string) error { return os.Mkdir(path, 0o777) }, "file", false},
		{"a pipe that nothing writes to", func(path string) error { return syscall.Mkfifo(path, 0o666) }, "nothing was written to that pipe", false},
		{"a socket", socket, "no such device or address", false},
		{"a device without end", link("/dev/zero"), notText, false},
		{"a device without beginning", link("/dev/null"), "there is nothing in the file", false},
		{"a link to itself", func(path string) error { return os.Symlink(path, path) }, "too many levels of symbolic links", false},
		{"a link to nothing", link("/nowhere/at/all"), "no such file or directory", false},
		{"a name too long", nil, "file name too long", false},
	}
}

// repeated writes a text with a piece that stands in it n times.
func repeated(path, before, piece string, n int, after string) error {
	file, err := os.Create(path)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(file)
	out.WriteString(before)
	for range n {
		out.WriteString(piece)
	}
	out.WriteString(after)
	return errors.Join(out.Flush(), file.Close())
}

// junk writes bytes by chance, always the same.
func junk(path string) error {
	file, err := os.Create(path)
	if err != nil {
		return err
	}
	_, err = io.CopyN(file, rand.NewChaCha8([32]byte{1}), size50)
	return errors.Join(err, file.Close())
}

// keys returns n keys that nothing knows.
func keys(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "k%d = 1\n", i)
	}
	return b.String()
}

// wide makes a barrier with so many posts, rails and loads.
func wide(gallery, run string, posts, rails, loads int) func(string) error {
	return func(path string) error {
		var b strings.Builder
		b.WriteString(strings.Replace(gallery, run, fmt.Sprintf("length = \"%d m\"\nspacing = \"1 m\"", posts-1), 1))
		for i := 2; i < rails; i++ {
			fmt.Fprintf(&b, "[[rail]]\nheight = \"%d mm\"\ntube = { od = \"10 mm\", wall = \"2 mm\" }\ngrade = \"S195T\"\nthrough = false\n", 5+10*i)
		}
		for i := 1; i < loads; i++ {
			fmt.Fprintf(&b, "[[load]]\nname = \"%d\"\nkind = \"point\"\nvalue = \"1 kN\"\ndirection = \"outward\"\n", i)
		}
		return os.WriteFile(path, []byte(b.String()), 0o666)
	}
}

// socket makes a socket, which stays when nothing listens to it any more.
func socket(path string) error {
	listener, err := net.ListenUnix("unix", &net.UnixAddr{Name: path, Net: "unix"})
	if err != nil {
		return err
	}
	listener.SetUnlinkOnClose(false)
	return listener.Close()
}

func link(to string) func(string) error {
	return func(path string) error { return os.Symlink(to, path) }
}

// readers are the commands that read a definition. IN stands for it, KEPT for a file that is there.
func readers() [][]string {
	return [][]string{
		{"check", "IN", "-o", "KEPT.json"},
		{"explain", "IN"},
		{"draw", "IN", "-o", "KEPT.svg"},
		{"spacing", "IN", "-o", "KEPT.json"},
		{"tubes", "IN", "-o", "KEPT.json"},
		{"sweep", "IN", "--vary", "run.spacing=1m,1.5m", "-o", "KEPT.csv", "--force"},
		{"life", "IN", "-o", "KEPT.json"},
		{"prooftest", "IN", "-o", "KEPT.json"},
		{"compare", "GALLERY", "IN", "-o", "KEPT.json"},
	}
}

// hostileCall is a call of the program that must be refused.
type hostileCall struct {
	args  []string
	stdin io.Reader
	says  string
}

// TestHostileInputs gives check, and the other commands in turn, files that are too large, too deep or
// none: each is refused with its reason and within 1 GB, and what was there stays.
func TestHostileInputs(t *testing.T) {
	gallery, err := os.ReadFile("../../barrier/testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	for i, input := range hostileInputs(string(gallery)) {
		t.Run(input.name, func(t *testing.T) {
			folder := t.TempDir()
			path := filepath.Join(folder, "in.toml")
			if input.make == nil {
				path = filepath.Join(folder, strings.Repeat("n", 300)+".toml")
			} else if err := input.make(path); err != nil {
				t.Fatal(err)
			}
			all := readers()
			for _, args := range [][]string{all[0], all[1+i%(len(all)-1)]} {
				if args[0] == "sweep" && input.each {
					continue
				}
				refuse(t, folder, hostileCall{filledIn(args, folder, path), nil, input.says})
			}
		})
	}
}

// TestHostileStandardInput gives every command a standard input without end, one that is closed, and
// one of 50 MB.
func TestHostileStandardInput(t *testing.T) {
	for _, args := range readers() {
		folder := t.TempDir()
		args = filledIn(args, folder, "-")
		zero, err := os.Open("/dev/zero")
		if err != nil {
			t.Fatal(err)
		}
		defer zero.Close()
		refuse(t, folder, hostileCall{args, zero, "more than 4 MiB"})
		refuse(t, folder, hostileCall{args, strings.NewReader(strings.Repeat("a", size50)), "more than 4 MiB"})
		refuse(t, folder, hostileCall{args, strings.NewReader(""), "there is nothing in the file"})
	}
	folder := t.TempDir()
	closed := exec.Command("sh", "-c", "exec stanchion check - <&-")
	judge(t, folder, closed, "there is nothing in the file") // Go opens the null device in its place
}

// TestHostileLists gives a list of tubes and rows to go on with that are none.
func TestHostileLists(t *testing.T) {
	for _, c := range []struct {
		name       string
		make       func(path string) error
		stock, row string // what is told of it
	}{
		{"50 MB of bytes by chance", junk, "more than 4 MiB", "does not begin as the file of this sweep does"},
		{"50 MB of one line", func(path string) error {
			return os.WriteFile(path, bytes.Repeat([]byte("a"), size50), 0o666)
		}, "more than 4 MiB", "does not begin as the file of this sweep does"},
		{"a folder", func(path string) error { return os.Mkdir(path, 0o777) }, "folder", "folder"},
		{"a pipe that nothing writes to", func(path string) error { return syscall.Mkfifo(path, 0o666) }, "nothing was written to that pipe", "no ordinary file"},
		{"a device without end", link("/dev/zero"), "more than 4 MiB", "no ordinary file"},
		{"a link to itself", func(path string) error { return os.Symlink(path, path) }, "too many levels", "too many levels"},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := t.TempDir()
			path := filepath.Join(folder, "list.csv")
			if err := c.make(path); err != nil {
				t.Fatal(err)
			}
			before := state(path)
			refuse(t, folder, hostileCall{filledIn([]string{"tubes", "GALLERY", "--stock", path, "-o", "KEPT.json"}, folder, ""), nil, c.stock})
			refuse(t, folder, hostileCall{filledIn([]string{"sweep", "GALLERY", "--vary", "run.spacing=1m,1.5m", "--resume", path}, folder, ""), nil, c.row})
			if after := state(path); after != before {
				t.Errorf("the list was %s and is %s", before, after)
			}
		})
	}
	folder := t.TempDir()
	refuse(t, folder, hostileCall{filledIn([]string{"tubes", "GALLERY", "--stock", "-", "-o", "KEPT.json"}, folder, ""), nil, "name a CSV file"})
}

// state tells what stands at a path.
func state(path string) string {
	info, err := os.Lstat(path)
	if err != nil {
		return err.Error()
	}
	return fmt.Sprint(info.Mode(), info.Size(), info.ModTime())
}

// filledIn puts files in the place of their names.
func filledIn(args []string, folder, in string) []string {
	filled := make([]string, len(args))
	for i, arg := range args {
		filled[i] = strings.Replace(arg, "KEPT", filepath.Join(folder, "kept"), 1)
		switch arg {
		case "IN":
			filled[i] = in
		case "GALLERY":
			filled[i] = "../../barrier/testdata/gallery.toml"
		}
	}
	return filled
}

// refuse makes a call in a process of its own, and judges how it ended.
func refuse(t *testing.T, folder string, c hostileCall) {
	t.Helper()
	process := exec.Command("stanchion", c.args...)
	process.Stdin = c.stdin
	judge(t, folder, process, c.says)
}

// kept are the names of files that calls may write, and none of these does.
var kept = [...]string{"kept.json", "kept.svg", "kept.csv"}

// judge runs a process that is refused: exit code 2 or 3, the reason and no bug on standard error,
// nothing on standard output, at most 1 GB, and no file written or left behind.
func judge(t *testing.T, folder string, process *exec.Cmd, says string) {
	t.Helper()
	const old = "what was there before"
	for _, name := range kept {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(old), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	names := entries(t, folder)
	var stdout, stderr bytes.Buffer
	process.Stdout, process.Stderr = &stdout, &stderr
	err := runWithin(process, 3*time.Minute)
	call := strings.Join(process.Args[1:], " ")
	call = call[:min(len(call), 200)]
	if code := process.ProcessState.ExitCode(); code != exitWrong && code != exitUntrusted {
		t.Errorf("%s: %v, want exit code 2 or 3", call, err)
	}
	said := stderr.String()
	if !strings.Contains(said, says) || strings.Contains(said, "goroutine ") || strings.Contains(said, "bug in the program") {
		t.Errorf("%s says %q, want %q among it", call, said[:min(len(said), 600)], says)
	}
	if stderr.Len() > 1<<20 || stdout.Len() > 0 {
		t.Errorf("%s writes %d bytes of errors and %d of a report, want at most 1 MB and none", call, stderr.Len(), stdout.Len())
	}
	usage := process.ProcessState.SysUsage().(*syscall.Rusage)
	t.Logf("%6.2f s of processor time, %4d MB: %s", time.Duration(usage.Utime.Nano()+usage.Stime.Nano()).Seconds(), usage.Maxrss>>10, call)
	if usage.Maxrss > 1<<20 { // KB
		t.Errorf("%s takes %d MB, want at most 1024", call, usage.Maxrss>>10)
	}
	for _, name := range kept {
		if is, err := os.ReadFile(filepath.Join(folder, name)); err != nil || string(is) != old {
			t.Errorf("%s: %s holds %d bytes (%v), want what was there before", call, name, len(is), err)
		}
	}
	if after := entries(t, folder); after != names {
		t.Errorf("%s leaves %s, want %s", call, after, names)
	}
}

// runWithin runs a process, and ends it where it hangs.
func runWithin(process *exec.Cmd, most time.Duration) error {
	ctx, cancel := context.WithTimeout(context.Background(), most)
	defer cancel()
	if err := process.Start(); err != nil {
		return err
	}
	stop := context.AfterFunc(ctx, func() { _ = process.Process.Kill() })
	defer stop()
	return process.Wait()
}

// entries lists a folder.
func entries(t *testing.T, folder string) string {
	t.Helper()
	list, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range list {
		names = append(names, e.Name())
	}
	return strings.Join(names, " ")
}
