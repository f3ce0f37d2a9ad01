package main

import (
	"context"
	"fmt"

	"drosswise/server/demo"
)

// fillDemo fills a folder with a made-up shop and says where to go.
func fillDemo(ctx context.Context, c console, args []string) error {
	fs := c.flags("demo", "fill an empty folder with a made-up shop: a bicycle workshop's melts of two years.")
	dir := fs.String("data", c.or("DROSSWISE_DATA", "demo"), "folder to fill; it must not hold a shop yet")
	if err := parse(fs, args); err != nil {
		return err
	}
	hash, err := hashPassword(ctx, demo.Password)
	if err != nil {
		return err
	}
	if _, err := demo.Make(ctx, *dir, hash); err != nil {
		return err
	}
	people := demo.People
	fmt.Fprintf(c.out, `Two years of a made-up bicycle workshop are in %s.

Look at it:       drosswise serve -data %s
                  (from the source: go run ./server serve -data %s)
and open:         %s
Sign in as:       %s
with password:    %s

Everything in it is invented, and everybody knows this password: keep your own
records in another folder, and do not let the demo be reached from outside.
%s, %s and %s have the same password.
`, *dir, *dir, *dir, reachable("http://"+c.or("DROSSWISE_ADDR", "127.0.0.1:8372")), people[demo.Workshop].Name, demo.Password,
		people[demo.EveningCrew].Name, people[demo.SaturdayCrew].Name, people[demo.Visitor].Name)
	return nil
}
