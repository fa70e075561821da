"""A notification service for the desktop test: writes each Notify as a line of JSON.

It speaks org.freedesktop.Notifications (desktop notifications specification 1.2), shows
nothing and closes nothing. Started by desktop.mjs on a bus of the test's own.
"""
import json

import dbus
import dbus.service
from dbus.mainloop.glib import DBusGMainLoop
from gi.repository import GLib

NAME = "org.freedesktop.Notifications"


class Service(dbus.service.Object):
    """The object that programs send notifications to."""

    count = 0

    @dbus.service.method(NAME, in_signature="susssasa{sv}i", out_signature="u")
    def Notify(self, app, replaces, icon, summary, body, actions, hints, expires):
        self.count += 1
        print(json.dumps({"app": app, "summary": summary, "body": body}), flush=True)
        return dbus.UInt32(self.count)

    @dbus.service.method(NAME, in_signature="", out_signature="as")
    def GetCapabilities(self):
        return ["body", "actions"]

    @dbus.service.method(NAME, in_signature="", out_signature="ssss")
    def GetServerInformation(self):
        return ("test", "slowstone", "1", "1.2")

    @dbus.service.method(NAME, in_signature="u", out_signature="")
    def CloseNotification(self, number):
        pass


DBusGMainLoop(set_as_default=True)
bus = dbus.SessionBus()
name = dbus.service.BusName(NAME, bus)
service = Service(bus, "/org/freedesktop/Notifications")
print("ready", flush=True)
GLib.MainLoop().run()
