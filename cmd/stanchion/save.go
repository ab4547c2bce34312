package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// writable refuses an output that could not be replaced, or must not be: a
// folder, a file that may not be written, or the definition itself, be it by another name or by way of
// standard input; likewise whatever else the call reads. An empty output is standard output.
func writable(output, definition string, others ...string) error {
	if output == "" {
		return nil
	}
	out, err := os.Stat(output)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		folder, err := os.Stat(filepath.Dir(output))
		if err != nil || !folder.IsDir() {
			return fmt.Errorf("-o %s: there is no folder %s", output, filepath.Dir(output))
		}
		return nil
	case err != nil:
		return fmt.Errorf("-o: %w", err)
	case out.IsDir():
		return fmt.Errorf("-o %s: that is a folder, name a file", output)
	}
	in, err := os.Stat(definition)
	if definition == "-" {
		in, err = os.Stdin.Stat()
	}
	if err == nil && in.Mode().IsRegular() && os.SameFile(in, out) {
		return fmt.Errorf("-o %s: that is the definition itself, name another file", output)
	}
	for _, other := range others {
		if in, err := os.Stat(other); err == nil && os.SameFile(in, out) {
			return fmt.Errorf("-o %s: this call reads that file, name another one", output)
		}
	}
	return replaceable(output, out)
}

// replaceable refuses a file that may not be written: a rename would replace it all the same.
func replaceable(output string, out fs.FileInfo) error {
	const anyone = 0o222 // may write
	switch {
	case !out.Mode().IsRegular():
		return nil
	case out.Mode().Perm()&anyone == 0:
		return fmt.Errorf("-o %s: that file is marked read-only, name another file", output)
	}
	file, err := os.OpenFile(output, os.O_WRONLY, 0)
	if err != nil {
		return fmt.Errorf("-o: %w", unwritable(output, err))
	}
	return file.Close()
}

// save writes data whole: into a new file of the same folder, which then takes
// the name. After an error the file of that name is as it was. A link is
// followed, and what is no ordinary file (a pipe, a device) is written to.
func save(name string, data []byte) error {
	return saveBy(name, func(out io.Writer) error {
		_, err := out.Write(data)
		return err
	})
}

// saveBy saves what a function writes, as save does.
func saveBy(name string, write func(io.Writer) error) error {
	f, err := freshBy(name, write)
	if err != nil {
		return err
	}
	return f.take()
}

// freshFile is a file that is whole, and has not taken its name yet.
type freshFile struct {
	asked  string // name that was asked for
	name   string // of the file behind it
	beside string // where it is; empty where what is there is no ordinary file, and was written to
}

// freshBy writes a file whole, beside the one whose name it is to take.
func freshBy(name string, write func(io.Writer) error) (freshFile, error) {
	f := freshFile{asked: name, name: name}
	if resolved, err := filepath.EvalSymlinks(name); err == nil {
		f.name = resolved
	}
	mode := fs.FileMode(0o666)
	if old, err := os.Stat(f.name); err == nil {
		if !old.Mode().IsRegular() {
			return f, writeTo(f.name, write)
		}
		mode = old.Mode().Perm()
	}
	file, err := create(f.name, mode)
	if err != nil {
		return f, unwritable(f.asked, err)
	}
	f.beside = file.Name()
	err = write(file)
	if err = errors.Join(err, file.Sync(), file.Close()); err != nil {
		return f, errors.Join(unwritable(f.asked, err), f.drop())
	}
	return f, nil
}

// take gives the file its name, in place of what had it.
func (f *freshFile) take() error {
	if f.beside == "" {
		return nil
	}
	if err := os.Rename(f.beside, f.name); err != nil {
		return errors.Join(unwritable(f.asked, err), f.drop())
	}
	return nil
}

// drop takes the file away, and leaves what has its name.
func (f *freshFile) drop() error {
	if f.beside == "" {
		return nil
	}
	return os.Remove(f.beside)
}

// handOver writes what a call made, whole: to the file of its -o, to standard output where that is empty.
func handOver(output string, data []byte, what string, stdout io.Writer) error {
	if output != "" {
		if err := save(output, data); err != nil {
			return wrong(err)
		}
		return nil
	}
	if _, err := stdout.Write(data); err != nil {
		return wrong(fmt.Errorf("writing %s: %w", what, err))
	}
	return nil
}

// unwritable says why a file could not be written, by the name that was asked for and not that of
// the new file beside it.
func unwritable(name string, err error) error {
	var onPath *fs.PathError
	var onLink *os.LinkError
	switch {
	case errors.As(err, &onPath):
		err = onPath.Err
	case errors.As(err, &onLink):
		err = onLink.Err
	}
	return fmt.Errorf("writing %s: %w", name, err)
}

// writeTo writes to what is there and no ordinary file.
func writeTo(name string, write func(io.Writer) error) error {
	there, err := os.OpenFile(name, os.O_WRONLY|os.O_TRUNC, 0)
	if err != nil {
		return err
	}
	return errors.Join(write(there), there.Close())
}

// create opens a new file beside the named one. The system's own mask applies
// to the mode, which os.CreateTemp would not let it.
func create(name string, mode fs.FileMode) (*os.File, error) {
	for n := 0; ; n++ {
		beside := filepath.Join(filepath.Dir(name), fmt.Sprintf(".%s.%d-%d", filepath.Base(name), os.Getpid(), n))
		file, err := os.OpenFile(beside, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if !errors.Is(err, fs.ErrExist) {
			return file, err
		}
	}
}
