package main

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// writtenFile is a file of a directory.
type writtenFile struct {
	name string
	data []byte
}

// writeDirectory writes files into a directory. A new one appears with all of
// them or not at all; in one that exists each is replaced by a complete one.
func writeDirectory(dir string, files []writtenFile) (err error) {
	dir = filepath.Clean(dir)
	switch info, err := os.Stat(dir); {
	case err == nil && !info.IsDir():
		return &fs.PathError{Op: "write", Path: dir, Err: errors.New("expected a directory")}
	case err == nil:
		if err := guard(dir, files); err != nil {
			return err
		}
		return writeFiles(dir, files)
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	tmp, err := os.MkdirTemp(filepath.Dir(dir), "."+filepath.Base(dir)+".*")
	if err != nil {
		return &fs.PathError{Op: "write", Path: dir, Err: errors.Unwrap(err)}
	}
	defer func() {
		if err != nil {
			os.RemoveAll(tmp)
		}
	}()
	if err := writeFiles(tmp, files); err != nil {
		return err
	}
	const mode = 0o755 // a temporary directory is the owner's alone
	if err := os.Chmod(tmp, mode); err != nil {
		return err
	}
	return os.Rename(tmp, dir)
}

// guard refuses to replace a bench file that is not of an earlier report.
func guard(dir string, files []writtenFile) error {
	if _, err := os.Stat(filepath.Join(dir, "index.html")); err == nil {
		return nil
	}
	for _, f := range files {
		if f.name != "bench.yaml" {
			continue
		}
		name := filepath.Join(dir, f.name)
		if there, err := os.ReadFile(name); err == nil && !bytes.Equal(there, f.data) {
			return &fs.PathError{Op: "write", Path: name, Err: errors.New("another bench file is there: choose a directory of its own")}
		}
	}
	return nil
}

func writeFiles(dir string, files []writtenFile) error {
	for _, f := range files {
		if err := writeFile(filepath.Join(dir, f.name), f.data); err != nil {
			return err
		}
	}
	return nil
}
