package main

import (
	"fmt"
	"log/slog"

	"github.com/spf13/cobra"

	"gelwright/web"
)

func serveCommand() *cobra.Command {
	var listen string
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Draw and plan roofs in a browser on this computer",
		Long: `Serve the page on which roofs are drawn and planned, to a browser on this computer alone. The first line
printed is the address to open. It ends with Ctrl-C.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			server, err := web.New(web.Server{Version: versionText(), Log: slog.New(slog.NewTextHandler(cmd.ErrOrStderr(), nil))})
			if err != nil {
				return err
			}
			on, err := web.Listen(cmd.Context(), listen)
			if err != nil {
				return coded{exitUsage, fmt.Errorf("--listen: %w", err)}
			}
			fmt.Fprintf(cmd.OutOrStdout(), "http://%s/\n", on.Addr())
			return server.Serve(cmd.Context(), on)
		},
	}
	cmd.Flags().StringVar(&listen, "listen", "127.0.0.1:0", "address and port on this computer; port 0 is any free one")
	return cmd
}
