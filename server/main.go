// Command server is Drosswise: a melt logbook and scrap-yield tracker for a
// small furnace. Without a command it serves; see -h.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
	_ "time/tzdata" // a small machine may have no list of time zones
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Getenv, os.Stdin, os.Stdout, os.Stderr))
}

// console is what a command may say and ask, and how it is set.
type console struct {
	env func(string) string
	in  io.Reader
	out io.Writer
	err io.Writer
}

// command is one of the things the program does.
type command struct {
	name string
	does string
	run  func(ctx context.Context, c console, args []string) error
}

func commands() []command {
	return []command{
		{"serve", "serve the logbook (what happens without a command)", serve},
		{"demo", "fill an empty folder with a made-up shop to look at", fillDemo},
		{"gallery", "serve every page and part with made-up data, for work on the look", gallery},
		{"rebuild", "make all figures again from the lines", rebuild},
		{"backup", "copy the whole shop to a file while it is in use", backup},
		{"restore", "put a backup in the place of a shop that is not running", restore},
		{"export", "write the whole shop as a folder of CSV", export},
		{"import", "take an exported shop into an empty folder", importShop},
		{"user", "list people, or make a link for somebody who cannot sign in", user},
	}
}

// run does what the arguments say and gives the exit status: 0 when it went
// well, 2 when it was asked for something it does not know, 1 otherwise.
func run(ctx context.Context, args []string, env func(string) string, in io.Reader, out, errOut io.Writer) int {
	c := console{env: env, in: in, out: out, err: errOut}
	name := "serve"
	if len(args) > 0 && (args[0] == "" || args[0][0] != '-') {
		name, args = args[0], args[1:]
	} else if len(args) > 0 && (args[0] == "-h" || args[0] == "-help" || args[0] == "--help") {
		usage(out)
		return 0
	}
	for _, cmd := range commands() {
		if cmd.name != name {
			continue
		}
		err := cmd.run(ctx, c, args)
		switch {
		case errors.Is(err, flag.ErrHelp):
			return 0
		case errors.Is(err, errUsage):
			fmt.Fprintln(errOut, err)
			return 2
		case err != nil:
			fmt.Fprintln(errOut, "drosswise:", err)
			return 1
		}
		return 0
	}
	fmt.Fprintf(errOut, "drosswise: there is no command %q\n\n", name)
	usage(errOut)
	return 2
}

// errUsage marks a command line that cannot be understood.
var errUsage = errors.New("see -h")

func usage(w io.Writer) {
	fmt.Fprint(w, "Drosswise, a melt logbook and scrap-yield tracker.\n\nUsage: drosswise [command] [flags]\n\n")
	for _, cmd := range commands() {
		fmt.Fprintf(w, "  %-9s %s\n", cmd.name, cmd.does)
	}
	fmt.Fprint(w, "\nEach command explains its flags with -h.\n")
}

// flags makes a command's flag set, with the folder of the data in it: every
// command but the gallery needs that.
func (c console) flags(name, explain string) *flag.FlagSet {
	fs := flag.NewFlagSet(name, flag.ContinueOnError)
	fs.SetOutput(c.err)
	fs.Usage = func() {
		fmt.Fprintf(c.err, "drosswise %s: %s\n\n", name, explain)
		fs.PrintDefaults()
	}
	return fs
}

// or gives the environment variable's value, or the fallback when it is unset.
func (c console) or(variable, fallback string) string {
	if v := c.env(variable); v != "" {
		return v
	}
	return fallback
}

// parse reads the flags and refuses what is left over.
func parse(fs *flag.FlagSet, args []string) error {
	if err := fs.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return err
		}
		return fmt.Errorf("%w: %s", errUsage, err)
	}
	if fs.NArg() > 0 {
		return fmt.Errorf("%w: what is %q?", errUsage, fs.Arg(0))
	}
	return nil
}
