package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"gelwright/store"
	"gelwright/web"
	"gelwright/work"
)

func serveCommand() *cobra.Command {
	var where keeping
	var roof, zone string
	var noWork bool
	var daily dailyFlags
	var at standing
	var seen watching
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Draw and plan roofs in a browser",
		Long: `Serve the page on which roofs are drawn and planned, to a browser on this computer alone, or with --listen to a
network. The first line printed is the address to open. Jobs are kept in the folder --data (without: gelwright in the user's
own settings), or in the PostgreSQL database --database, which several programs may share. It ends with Ctrl-C.

Beyond this computer everything is encrypted. For a name of the public network (--public) a public authority issues the
certificate and renews it by itself. On a private network none can: at its first start the server makes the firm's own
authority, and says where the page lies that is printed for each phone. While nobody has an account it prints an address too, by
which the first owner is made, once, within an hour ('gelwright people add NAME --role owner' makes one as well).`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if !(at.perSecond >= 0) {
				return coded{exitUsage, fmt.Errorf("--rate: %g requests a second cannot be made; 0 is no limit", at.perSecond)}
			}
			if there, err := where.begun(); err == nil && !there {
				fmt.Fprintf(cmd.ErrOrStderr(), "no jobs are kept in %s yet: a folder of jobs is begun there\n", where.folder())
			}
			jobs, err := where.open(cmd.Context())
			if err != nil {
				return err
			}
			defer jobs.Close()
			log, err := seen.logger(cmd.ErrOrStderr(), at.beyond())
			if err != nil {
				return err
			}
			now, err := clockIn(zone)
			if err != nil {
				return err
			}
			queue, err := work.Open(cmd.Context(), jobs, logOf(cmd))
			if err != nil {
				return err
			}
			defer queue.Close()
			queue.Now = now
			server, err := web.New(web.Server{Version: versionText(), Jobs: jobs, People: jobs, Work: queue, Log: log, Now: now})
			if err != nil {
				return err
			}
			if at.beyond() {
				all, err := jobs.Accounts(cmd.Context())
				if err != nil {
					return err
				}
				server.Accounts = len(all) > 0 || at.outside()
			}
			job, err := openRoof(cmd.Context(), server, roof)
			if err != nil {
				return err
			}
			ctx, end := context.WithCancel(cmd.Context())
			defer end()
			counted, err := seen.counting(ctx, server)
			if err != nil {
				return err
			}
			err = whileWorking(cmd.Context(), queue, noWork, daily, func() error { return at.serve(cmd, server, where.folder(), job) })
			end()
			return errors.Join(err, <-counted)
		},
	}
	addKeeping(cmd, &where)
	cmd.Flags().StringVar(&at.listen, "listen", "127.0.0.1:0", "address and port; port 0 is any free one, "+
		"no address is every one of this machine")
	cmd.Flags().BoolVar(&at.https, "https", false, "encrypt on this computer too, as beyond it always")
	at.add(cmd)
	at.addPublic(cmd)
	cmd.Flags().Float64Var(&at.perSecond, "rate", web.AddressPerSecond, "requests a second that one address may make on a network; "+
		"0 for no limit")
	seen.add(cmd)
	cmd.Flags().BoolVar(&noWork, "no-work", false, "leave the work behind the page to 'gelwright work'")
	cmd.Flags().StringVar(&zone, "time-zone", "", "time zone of the firm's place, as Europe/London: which day is today there "+
		"(without: that of this computer)")
	daily.add(cmd)
	cmd.Flags().StringVar(&roof, "open", "", "roof file to open: it becomes a job, once, and its address is printed")
	return cmd
}

// clockIn is the clock in a time zone, of this computer where none is named.
func clockIn(zone string) (func() time.Time, error) {
	if zone == "" {
		return time.Now, nil
	}
	at, err := time.LoadLocation(zone)
	if err != nil || zone == "Local" {
		return nil, coded{exitUsage, fmt.Errorf("--time-zone: %q is no time zone that is known: write a name such as Europe/London", zone)}
	}
	return func() time.Time { return time.Now().In(at) }, nil
}

// serve answers on a port until the program is told to end.
func (s *standing) serve(cmd *cobra.Command, server *web.Server, data string, job store.ID) error {
	if !s.beyond() {
		on, err := server.Listen(cmd.Context(), s.listen)
		if err != nil {
			return coded{exitUsage, fmt.Errorf("--listen: %w", err)}
		}
		fmt.Fprintln(cmd.OutOrStdout(), web.Address("http", on.Addr().String(), job))
		tellSystem("READY=1")
		defer tellSystem("STOPPING=1")
		return server.Serve(cmd.Context(), on)
	}
	return s.serveNetwork(cmd, server, data, job)
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
