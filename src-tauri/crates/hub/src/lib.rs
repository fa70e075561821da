//! The sync daemon: HTTP for phones and the web app, photo intake, reminders, command line.
