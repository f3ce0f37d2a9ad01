package main

import (
	"context"
	"errors"
	"fmt"
	"text/tabwriter"

	"drosswise/foundry/quantity"
	"drosswise/store"
)

// user lists people, or makes a link for somebody who cannot sign in. Whoever
// may run it owns the machine, and with it the shop.
func user(ctx context.Context, c console, args []string) error {
	fs := c.flags("user", "list people, or make a link for somebody who cannot sign in.\nIt may run while the shop is served.")
	data := fs.String("data", c.or("DROSSWISE_DATA", "data"), "folder of the data")
	origin := fs.String("origin", c.or("DROSSWISE_ORIGIN", "http://"+c.or("DROSSWISE_ADDR", "127.0.0.1:8372")), "address of the shop, for the link")
	reset := fs.String("reset", "", "make a link with which the person of this `name` sets a new password, or comes back")
	owner := fs.Bool("owner", false, "make a link for a new owner")
	if err := parse(fs, args); err != nil {
		return err
	}
	if *reset != "" && *owner {
		return fmt.Errorf("%w: -reset and -owner are two things", errUsage)
	}
	if err := needShop(*data); err != nil {
		return err
	}
	st, err := open(ctx, *data)
	if err != nil {
		return err
	}
	defer st.Close()
	switch {
	case *reset != "":
		return resetLink(ctx, c, st, *reset, reachable(*origin))
	case *owner:
		return ownerLink(ctx, c, st, reachable(*origin))
	default:
		return listPeople(ctx, c, st)
	}
}

func listPeople(ctx context.Context, c console, st *store.Store) error {
	people, err := st.People(ctx)
	if err != nil {
		return err
	}
	shop, err := st.Shop(ctx)
	if err != nil {
		return err
	}
	if len(people) == 0 {
		fmt.Fprintln(c.out, "Nobody yet. The link for the first owner is printed when the shop is served, or with -owner.")
		return nil
	}
	style := shop.Style()
	w := tabwriter.NewWriter(c.out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "NAME\tROLE\tSINCE\tSIGNED IN ON\tLAST SEEN")
	for _, p := range people {
		signins, err := st.SignIns(ctx, p.ID)
		if err != nil {
			return err
		}
		role, seen := p.Role, "-"
		if p.Ended != nil {
			role += ", ended " + style.Date(*p.Ended)
		}
		if len(signins) > 0 {
			seen = style.DateTime(signins[0].Seen)
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%d\t%s\n", p.Name, role, style.Date(p.Since), len(signins), seen)
	}
	return w.Flush()
}

func resetLink(ctx context.Context, c console, st *store.Store, name, home string) error {
	p, _, err := st.PersonNamed(ctx, name)
	if errors.Is(err, store.ErrNotFound) {
		return fmt.Errorf("nobody here is called %q. Without -reset everybody is listed", name)
	}
	if err != nil {
		return err
	}
	token, expires, err := st.ResetLink(ctx, 0, p.ID)
	if err != nil {
		return err
	}
	printLink(c, "With this link "+p.Name+" sets a new password", home+"/join/"+token, expires)
	return nil
}

func ownerLink(ctx context.Context, c console, st *store.Store, home string) error {
	token, expires, err := st.FirstLink(ctx)
	if err == nil {
		printLink(c, "With this link the first owner sets the shop up", home+"/setup/"+token, expires)
		return nil
	}
	if !errors.Is(err, store.ErrConflict) {
		return err
	}
	if token, expires, err = st.Invite(ctx, 0, "owner"); err != nil {
		return err
	}
	printLink(c, "With this link somebody becomes an owner", home+"/join/"+token, expires)
	return nil
}

func printLink(c console, what, link string, expires quantity.Moment) {
	fmt.Fprintf(c.out, "%s (works once, until %s):\n\n  %s\n\n", what, expires.Time().Format("2 Jan 2006 15:04 MST"), link)
	fmt.Fprint(c.out, "If the shop is at another address or port, put that in front, or give it with -origin.\n")
}
