package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// shellWord is a word of a command, which may be quoted.
var shellWord = regexp.MustCompile(`"([^"]*)"|'([^']*)'|[^\s"']+`)

// readmeCommands returns the program's arguments in every line of a fenced
// block of sh that runs it.
func readmeCommands(t *testing.T, markdown string) (commands [][]string) {
	t.Helper()
	inside := false
	for line := range strings.Lines(markdown) {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "```") {
			inside = line == "```sh"
			continue
		}
		rest, ok := strings.CutPrefix(line, "go run ./cmd/loadscape ")
		if !ok {
			rest, ok = strings.CutPrefix(line, "loadscape ")
		}
		if !inside || !ok {
			continue
		}
		if strings.ContainsAny(rest, "|<>;&$`\\*?#") {
			t.Errorf("%q needs a shell: the test runs commands without one", line)
		}
		var args []string
		for _, w := range shellWord.FindAllStringSubmatch(rest, -1) {
			if w[0][0] == '"' || w[0][0] == '\'' {
				w[0] = w[1] + w[2]
			}
			args = append(args, w[0])
		}
		commands = append(commands, args)
	}
	return commands
}

// Every command that README.md shows runs as it stands, one after the other as
// a reader would type them, beside a copy of the test data.
func TestReadmeCommands(t *testing.T) {
	readme := contents(t, "../../README.md")
	commands := readmeCommands(t, readme)
	if shown := strings.Count(readme, "\nloadscape ") + strings.Count(readme, "\ngo run ./cmd/loadscape "); len(commands) == 0 || len(commands) != shown {
		t.Fatalf("%d commands in blocks of sh, %d in all", len(commands), shown)
	}
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "testdata"), os.DirFS("../../testdata")); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	for _, args := range commands {
		a := ask("", args...)
		if a.code != exitOK || a.stdout == "" && a.stderr == "" {
			t.Errorf("loadscape %s: exit code %d\n%s", strings.Join(args, " "), a.code, a.stderr)
		}
		for i, arg := range args {
			if arg == "--figure" || arg == "--output" || arg == "-o" {
				if info, err := os.Stat(args[i+1]); err != nil || info.Size() == 0 {
					t.Errorf("loadscape %s: %s: %v", strings.Join(args, " "), args[i+1], err)
				}
			}
		}
	}
}
