## Was das Programm am Rechner selbst sagt: Symbolleiste, Meldungen, Fotos als Dateien

desk-now = Was kann ich jetzt tun?
desk-nothing = Nichts ist dran
desk-next = Als Nächstes
desk-line = { $what }: { $may }
desk-at-site = { $site } · { $text }
desk-open = Slowstone öffnen
desk-login = Bei der Anmeldung starten
desk-no-login = Das Starten bei der Anmeldung ließ sich nicht ändern
desk-quit = Beenden
desk-show = Zeigen
desk-closed = Slowstone läuft weiter
desk-closed-what = Erinnerungen kommen weiter, und Telefone erreichen das Buch. Beenden steht im Menü des Symbols in der Leiste.
desk-added =
    { $count ->
        [one] 1 Foto aufgenommen in { $site }
       *[other] { $count } Fotos aufgenommen in { $site }
    }
desk-none = Kein Foto aufgenommen
desk-filed = { $file }: { $pour }, { $stage }
desk-loose = { $file }: gehört der Zeit nach zu keinem Guss; öffne die Baustelle, um es einzuordnen
desk-known = { $file }: schon da
desk-refused = { $file }: { $why }
desk-unread = Die Datei lässt sich nicht lesen ({ $why }).
desk-large = Die Datei ist größer als die { $most } MB, die genommen werden; mach das Bild kleiner.
desk-more =
    { $count ->
        [one] und 1 weitere Datei
       *[other] und { $count } weitere Dateien
    }
desk-no-site = Es gibt noch keine Baustelle. Lege eine an und gib die Fotos dann noch einmal.
desk-which = Es gibt mehrere Baustellen. Öffne die, zu der die Fotos gehören, und gib sie dann noch einmal.
