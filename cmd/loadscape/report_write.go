package main

import (
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

func writeFiles(dir string, files []writtenFile) error {
	for _, f := range files {
		if err := writeFile(filepath.Join(dir, f.name), f.data); err != nil {
			return err
		}
	}
	return nil
}
