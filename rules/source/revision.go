package source

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"strings"
)

// Open opens a folder, or a folder as it stands in a git revision, written REVISION or REVISION:FOLDER. Without a folder
// it is usual, counted from the top of the repository. A revision is read into memory with the git command. The name
// that is returned stands before the file names in messages.
func Open(ctx context.Context, name, usual string) (fsys fs.FS, shown string, err error) {
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		return os.DirFS(name), name, nil
	}
	revision, folder, ok := strings.Cut(name, ":")
	if !ok {
		folder = usual
	}
	if revision == "" || strings.HasPrefix(revision, "-") {
		return nil, "", fmt.Errorf("there is no folder %q, and it is no git revision either", name)
	}
	top, err := git(ctx, "", "rev-parse", "--show-toplevel")
	if err != nil {
		return nil, "", fmt.Errorf("there is no folder %q, and no git revision can be read here: %w", name, err)
	}
	root := strings.TrimSpace(string(top))
	commit, err := git(ctx, root, "rev-parse", "--verify", "--quiet", "--end-of-options", revision+"^{commit}")
	if err != nil {
		return nil, "", fmt.Errorf("there is no folder %q, and no git revision %q", name, revision)
	}
	tree := strings.TrimSpace(string(commit)) + ":" + folder
	archive, err := git(ctx, root, "archive", "--format=zip", tree)
	if err != nil {
		return nil, "", fmt.Errorf("there is no folder %q in the git revision %q", folder, revision)
	}
	if len(archive) > MaxBytes*10 {
		return nil, "", fmt.Errorf("the folder %q of the git revision %q is too large for a rule base", folder, revision)
	}
	r, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		return nil, "", fmt.Errorf("the git revision %q cannot be read: %w", revision, err)
	}
	return r, revision + ":" + folder, nil
}

func git(ctx context.Context, dir string, args ...string) ([]byte, error) {
	cmd := exec.CommandContext(ctx, "git", args...)
	cmd.Dir = dir
	out, err := cmd.Output()
	var exit *exec.ExitError
	if errors.As(err, &exit) && len(exit.Stderr) > 0 {
		return nil, errors.New(strings.TrimSpace(string(exit.Stderr)))
	}
	return out, err
}
