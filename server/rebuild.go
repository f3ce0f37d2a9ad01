package main

import (
	"context"
	"fmt"
)

// rebuild makes all figures again from the lines.
func rebuild(ctx context.Context, c console, args []string) error {
	fs := c.flags("rebuild", "make all figures again from the lines.\nNothing that was written changes. It may run while the shop is served.")
	data := fs.String("data", c.or("DROSSWISE_DATA", "data"), "folder of the data")
	if err := parse(fs, args); err != nil {
		return err
	}
	if err := needShop(*data); err != nil {
		return err
	}
	st, err := open(ctx, *data)
	if err != nil {
		return err
	}
	defer st.Close()
	n, err := st.Rebuild(ctx)
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "The figures of %d melts are made again.\n", n)
	return nil
}
