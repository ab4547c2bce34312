package main

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/barrier/report"
)

// sweepRows takes the rows of a sweep, each written before the next is begun.
type sweepRows struct {
	table *report.SweepTable
	out   io.Writer
	file  *os.File // that rows go to; nil for standard output
	name  string   // of the file; empty for standard output

	done, all int
	of        map[check.Status]int // rows of each status
}

// open returns where the rows go, with the head written and what is there counted.
func (c *sweepCall) open(table *report.SweepTable, all int, stdout io.Writer) (*sweepRows, error) {
	rows := &sweepRows{table: table, out: stdout, all: all, of: map[check.Status]int{}}
	switch {
	case c.resume != "":
		rows.name = c.resume
	case c.output != "":
		rows.name = c.output
	default:
		return rows, rows.head()
	}
	if err := writable(rows.name, c.file); err != nil {
		return nil, err
	}
	if c.resume != "" {
		return rows, rows.resume()
	}
	return rows, rows.begin(c.force)
}

// begin opens a file for a sweep from its first row on. One that holds something is written anew
// by force alone; what is no ordinary file (a pipe, a device) is written to.
func (r *sweepRows) begin(force bool) error {
	file, err := r.take(os.O_WRONLY | os.O_CREATE)
	if err != nil {
		return err
	}
	old, err := file.Stat()
	switch {
	case err == nil && !old.Mode().IsRegular():
	case err == nil && old.Size() > 0 && !force:
		err = fmt.Errorf("-o %s: there is such a file, and it is left as it is: --resume %s goes on with a sweep that was begun, --force writes it anew", r.name, r.name)
	case err == nil:
		err = file.Truncate(0)
	}
	if err != nil {
		return errors.Join(err, file.Close())
	}
	r.file, r.out = file, file
	return r.head()
}

// take opens the file of the rows. An ordinary one is this process's alone until it is closed, and
// that of another process is refused: two that write one file destroy it.
func (r *sweepRows) take(how int) (*os.File, error) {
	file, err := os.OpenFile(r.name, how, 0o666)
	if err != nil {
		return nil, fmt.Errorf("writing the rows: %w", err)
	}
	info, err := file.Stat()
	if err == nil && !info.Mode().IsRegular() {
		return file, nil
	}
	free := false
	if err == nil {
		free, err = lock(file)
	}
	switch {
	case err != nil:
		err = fmt.Errorf("%s cannot be kept from other processes that write: %w: choose a file on another disk, or standard output", r.name, err)
	case !free:
		err = fmt.Errorf("another process is writing %s: wait for it or choose another file", r.name)
	default:
		return file, nil
	}
	return nil, errors.Join(err, file.Close())
}

// resume opens a file for the rows that it lacks. Before it is known to be that of this sweep
// nothing is written to it.
func (r *sweepRows) resume() error {
	if old, err := os.Stat(r.name); errors.Is(err, fs.ErrNotExist) {
		return r.begin(false)
	} else if err == nil && !old.Mode().IsRegular() {
		return fmt.Errorf("--resume %s: that is no ordinary file, and cannot be gone on with", r.name)
	}
	file, err := r.take(os.O_RDWR)
	if err != nil {
		return err
	}
	whole, err := r.read(file)
	if err == nil {
		err = file.Truncate(whole)
	}
	if err == nil {
		_, err = file.Seek(whole, io.SeekStart)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("--resume %s: %w", r.name, err), file.Close())
	}
	r.file, r.out = file, file
	if whole == 0 {
		return r.head()
	}
	return nil
}

// longestRow is the length, bytes, that no row of a sweep comes near.
const longestRow = 1 << 20

// read judges and counts the rows of a file that was begun, and returns how much of it is whole,
// in bytes: 0 where its head was cut short.
func (r *sweepRows) read(file io.Reader) (whole int64, err error) {
	head, err := r.table.Head()
	if err != nil {
		return 0, err
	}
	lines := bufio.NewReaderSize(file, longestRow)
	start, err := io.ReadAll(io.LimitReader(lines, int64(len(head))))
	if err != nil {
		return 0, err
	}
	if isWhole, err := r.table.ReadHead(start); err != nil {
		return 0, fmt.Errorf("%w; it is left as it is", err)
	} else if !isWhole {
		return 0, nil
	}
	whole = int64(len(head))
	for n := bytes.Count(head, []byte("\n")) + 1; ; n++ {
		line, err := lines.ReadSlice('\n')
		cut := errors.Is(err, io.EOF)
		switch {
		case cut && len(line) == 0:
			return whole, nil
		case errors.Is(err, bufio.ErrBufferFull):
			return 0, fmt.Errorf("line %d is longer than any row: the file is left as it is", n)
		case err != nil && !cut:
			return 0, err
		case r.done == r.all:
			return 0, fmt.Errorf("line %d stands behind the last of %d rows; the file is left as it is", n, r.all)
		}
		status, err := r.table.ReadRow(r.done, bytes.TrimSuffix(line, []byte("\n")), cut)
		switch {
		case err != nil:
			return 0, fmt.Errorf("line %d is not that of this sweep: %w; the file is left as it is", n, err)
		case cut:
			return whole, nil
		}
		whole += int64(len(line))
		r.done++
		r.of[status]++
	}
}

// head writes what stands before the first row.
func (r *sweepRows) head() error {
	head, err := r.table.Head()
	if err != nil {
		return err
	}
	return r.write(head)
}

// add writes a row.
func (r *sweepRows) add(row *explore.Variant) error {
	line, err := r.table.Row(row)
	if err != nil {
		return err
	}
	if err := r.write(line); err != nil {
		return err
	}
	r.done++
	r.of[row.Status]++
	return nil
}

func (r *sweepRows) write(text []byte) error {
	if _, err := r.out.Write(text); err != nil {
		return fmt.Errorf("writing the rows: %w", err)
	}
	return nil
}

// close brings what was written to the disk.
func (r *sweepRows) close() error {
	if r.file == nil {
		return nil
	}
	err := r.file.Sync()
	if info, statErr := r.file.Stat(); statErr == nil && !info.Mode().IsRegular() {
		err = nil // a pipe or a device has no disk
	}
	return errors.Join(err, r.file.Close())
}

// ending ends a sweep whose rows are all written, and says what has no result.
func (r *sweepRows) ending(stderr io.Writer) error {
	refused, notTrusted := r.of[explore.Refused], r.of[explore.NotTrusted]
	code := exitPass
	switch {
	case refused == r.all:
		code = exitWrong
		fmt.Fprintf(stderr, "stanchion: all of %d variants are refused: the note says why\n", r.all)
	case notTrusted > 0:
		code = exitUntrusted
		fmt.Fprintf(stderr, "stanchion: of %d variants %d could not be trusted and %d are refused: the note says why\n", r.all, notTrusted, refused)
	case refused > 0:
		code = exitIncomplete
		fmt.Fprintf(stderr, "stanchion: of %d variants %d are refused: the note says why\n", r.all, refused)
	}
	if code == exitPass {
		return nil
	}
	return &ending{code: code}
}
