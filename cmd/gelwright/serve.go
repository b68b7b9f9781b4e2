package main

import (
	"context"
	"fmt"
	"log/slog"

	"github.com/spf13/cobra"

	"gelwright/store"
	"gelwright/web"
)

func serveCommand() *cobra.Command {
	var where keeping
	var listen, roof string
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Draw and plan roofs in a browser on this computer",
		Long: `Serve the page on which roofs are drawn and planned, to a browser on this computer alone. The first line
printed is the address to open. Jobs are kept in the folder --data (without: gelwright in the user's own settings), or in the
PostgreSQL database --database, which several programs may share. It ends with Ctrl-C.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if there, err := where.begun(); err == nil && !there {
				fmt.Fprintf(cmd.ErrOrStderr(), "no jobs are kept in %s yet: a folder of jobs is begun there\n", where.folder())
			}
			jobs, err := where.open(cmd.Context())
			if err != nil {
				return err
			}
			defer jobs.Close()
			server, err := web.New(web.Server{Version: versionText(), Jobs: jobs, People: jobs,
				Log: slog.New(slog.NewTextHandler(cmd.ErrOrStderr(), nil))})
			if err != nil {
				return err
			}
			job, err := openRoof(cmd.Context(), server, roof)
			if err != nil {
				return err
			}
			on, err := web.Listen(cmd.Context(), listen)
			if err != nil {
				return coded{exitUsage, fmt.Errorf("--listen: %w", err)}
			}
			fmt.Fprintln(cmd.OutOrStdout(), web.Address(on.Addr().String(), job))
			return server.Serve(cmd.Context(), on)
		},
	}
	addKeeping(cmd, &where)
	cmd.Flags().StringVar(&listen, "listen", "127.0.0.1:0", "address and port on this computer; port 0 is any free one")
	cmd.Flags().StringVar(&roof, "open", "", "roof file to open: it becomes a job, once, and its address is printed")
	return cmd
}

// openRoof opens a roof file as a job; no path is no job.
func openRoof(ctx context.Context, s *web.Server, path string) (store.ID, error) {
	if path == "" {
		return "", nil
	}
	name, text, err := readWhole("roof file", path)
	if err != nil {
		return "", err
	}
	id, err := s.Open(ctx, name, text)
	if err != nil && store.KindOf(err) == 0 {
		err = coded{exitFaults, err}
	}
	return id, err
}
