package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"gelwright/authority"
)

func authorityCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "authority",
		Short: "Look after the firm's own certificate authority",
		Long: `The authority by which phones and computers on the firm's own network trust the server. 'serve' makes it when it
first listens beyond this computer; here it is shown, its page is printed anew, or another takes its place.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(authorityShowCommand(), authorityPageCommand(), authorityRenewCommand())
	return cmd
}

// addAuthorityData adds --data, beside whose jobs the authority lies.
func addAuthorityData(cmd *cobra.Command, dir *string) {
	cmd.Flags().StringVar(dir, "data", "", "data folder of the server")
}

// theAuthority is the one of a data folder.
func theAuthority(data string) (*authority.Authority, error) {
	if data == "" {
		return nil, coded{exitUsage, errors.New("--data names the folder in which jobs are kept: give it")}
	}
	a, err := authority.Open(data)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, coded{exitUsage, fmt.Errorf("--data %s: there is no authority yet: 'gelwright serve --listen :8443' makes one", data)}
	}
	return a, err
}

// shownAuthority is what is shown of an authority: everything but its key.
type shownAuthority struct {
	Name        string    `json:"name"`
	Fingerprint string    `json:"fingerprintSHA256"`
	Begins      time.Time `json:"begins"`
	Ends        time.Time `json:"ends"`
	Domains     []string  `json:"domains"`
	Certificate string    `json:"certificate"`
}

func shown(data string, a *authority.Authority) shownAuthority {
	return shownAuthority{a.Name(), strings.Join(a.Fingerprint(), " "), a.Begins(), a.Ends(), a.Domains(), authority.Certificate(data)}
}

func (s shownAuthority) print(out io.Writer) error {
	_, err := fmt.Fprintf(out, "%s\nSHA-256     %s\nholds       %s to %s\nspeaks for  addresses of private networks, names that end in %s\n"+
		"certificate %s\n",
		s.Name, s.Fingerprint, s.Begins.Format(time.DateOnly), s.Ends.Format(time.DateOnly), strings.Join(s.Domains, ", "), s.Certificate)
	return err
}

func authorityShowCommand() *cobra.Command {
	var data string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "show --data DIR",
		Short: "Show the authority's name, fingerprint and end",
		Long:  `Shows what a phone shows of the firm's authority: its name, the SHA-256 fingerprint to compare, from when to when it holds.`,
		Args:  arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			a, err := theAuthority(data)
			if err != nil {
				return err
			}
			if asJSON {
				return printJSON(cmd.OutOrStdout(), shown(data, a))
			}
			return shown(data, a).print(cmd.OutOrStdout())
		},
	}
	addAuthorityData(cmd, &data)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	return cmd
}

// usualListen is where a server on a network listens where nothing else is said.
const usualListen = ":8443"

func authorityPageCommand() *cobra.Command {
	var data string
	var at standing
	cmd := &cobra.Command{
		Use:   "page --data DIR",
		Short: "Write the page by which phones learn to trust the server",
		Long: `Writes the page that is printed for each phone: a square code of the address that hands the certificate out, its
fingerprint, and what to do on each kind of device. It lies in the folder 'authority' of --data, as PDF and as HTML.
Give --listen, --hand-out and --name as 'serve' has them.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			a, err := theAuthority(data)
			if err != nil {
				return err
			}
			page, err := at.page(data, a)
			if err == nil {
				_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s is written: print it, a page for each phone\n", page)
			}
			return err
		},
	}
	addAuthorityData(cmd, &data)
	at.addWhere(cmd)
	return cmd
}

// addWhere adds the flags that say where a server listens that is not begun here.
func (s *standing) addWhere(cmd *cobra.Command) {
	cmd.Flags().StringVar(&s.listen, "listen", usualListen, "address and port on which 'serve' listens")
	s.add(cmd)
}

// page writes the page of a server that listens as the flags say.
func (s *standing) page(data string, a *authority.Authority) (string, error) {
	names, err := authority.Machine(s.names...)
	if err != nil {
		return "", coded{exitUsage, fmt.Errorf("--name: %w", err)}
	}
	if _, _, err := net.SplitHostPort(s.listen); err != nil {
		return "", coded{exitUsage, fmt.Errorf("--listen: %q is no address and port: write %s", s.listen, usualListen)}
	}
	fetch, err := s.handOutAt()
	if err != nil {
		return "", err
	}
	if fetch != "" {
		fetch = "http://" + host(fetch, a.May(names)) + "/"
	}
	return layPages(data, a, "https://"+host(s.listen, a.May(names))+"/", fetch)
}

func authorityRenewCommand() *cobra.Command {
	var data string
	var at standing
	var yes bool
	cmd := &cobra.Command{
		Use:   "renew --data DIR --yes",
		Short: "Make a new authority in place of the one that is there",
		Long: `Makes a new authority: when the old one comes to its end, when the machine has another name, or when its key may have
been seen by strangers. Every phone and computer has to be told to trust the new one and to trust the old one no more. A
server that runs takes it within a minute. The old certificate is kept; its key is not.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if _, err := theAuthority(data); err != nil && exitOf(err) == exitUsage {
				return err
			}
			if !yes {
				return coded{exitUsage, errors.New("every phone and computer would have to be told anew to trust the server: " +
					"say --yes if that is meant")}
			}
			names, err := authority.Machine(at.names...)
			if err != nil {
				return coded{exitUsage, fmt.Errorf("--name: %w", err)}
			}
			a, err := authority.Renew(data, names, time.Now())
			if err != nil {
				return err
			}
			page, err := at.page(data, a)
			if err != nil {
				return err
			}
			if err := shown(data, a).print(cmd.OutOrStdout()); err != nil {
				return err
			}
			_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s is written: print it, a page for each phone, and take the old authority off each\n", page)
			return err
		},
	}
	addAuthorityData(cmd, &data)
	at.addWhere(cmd)
	cmd.Flags().BoolVar(&yes, "yes", false, "it is meant")
	return cmd
}
