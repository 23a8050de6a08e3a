// Command loadscape computes what a loud amplifier meets when it is made
// quiet: the impedance its output stage sees, what that does to the tone, and
// whether it is safe. See README.md.
package main

import "os"

func main() {
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
