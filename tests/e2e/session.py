"""The desktop's side of the session bus, for the desktop test: takes notifications and tray
icons, and writes each as a line of JSON.

Notifications: desktop notifications specification 1.2, shown to nobody. Tray: the watcher
of the StatusNotifierItem specification; menus by com.canonical.dbusmenu. Told on its input:
`menu` (writes the menu of the tray), `press ID` (chooses an item), `note ID` (presses a
notification), `bare` (shows no tray from now on), `close DISPLAY` (asks
the windows named Slowstone to close, as a window manager does: ICCCM 4.2.8.1, from memory).
Started by desktop.mjs on a bus of the test's own.
"""
import ctypes
import json
import os
import sys

import dbus
import dbus.service
from dbus.mainloop.glib import DBusGMainLoop
from gi.repository import GLib

NOTES = "org.freedesktop.Notifications"
WATCHER = "org.kde.StatusNotifierWatcher"
ITEM = "org.kde.StatusNotifierItem"
MENU = "com.canonical.dbusmenu"
PROPERTIES = "org.freedesktop.DBus.Properties"


def tell(**what):
    print(json.dumps(what), flush=True)


class Notes(dbus.service.Object):
    """Takes notifications."""

    count = 0

    @dbus.service.method(NOTES, in_signature="susssasa{sv}i", out_signature="u")
    def Notify(self, app, replaces, icon, summary, body, actions, hints, expires):
        self.count += 1
        tell(what="note", id=self.count, app=app, summary=summary, body=body)
        return dbus.UInt32(self.count)

    @dbus.service.method(NOTES, in_signature="", out_signature="as")
    def GetCapabilities(self):
        return ["body", "actions"]

    @dbus.service.method(NOTES, in_signature="", out_signature="ssss")
    def GetServerInformation(self):
        return ("test", "slowstone", "1", "1.2")

    @dbus.service.method(NOTES, in_signature="u", out_signature="")
    def CloseNotification(self, number):
        pass

    @dbus.service.signal(NOTES, signature="us")
    def ActionInvoked(self, number, action):
        pass


class Watcher(dbus.service.Object):
    """Takes tray icons; remembers the last."""

    icon = None
    hosted = True

    @dbus.service.method(WATCHER, in_signature="s", sender_keyword="sender")
    def RegisterStatusNotifierItem(self, path, sender):
        self.icon = (sender, path)
        tell(what="tray", path=path)

    @dbus.service.method(PROPERTIES, in_signature="ss", out_signature="v")
    def Get(self, interface, name):
        return self.GetAll(interface)[name]

    @dbus.service.method(PROPERTIES, in_signature="s", out_signature="a{sv}")
    def GetAll(self, interface):
        return {"IsStatusNotifierHostRegistered": self.hosted, "ProtocolVersion": 0}

    @dbus.service.signal(WATCHER)
    def StatusNotifierHostRegistered(self):
        pass

    def menu(self):
        """The object that gives the menu of the icon."""
        sender, path = self.icon
        item = dbus.Interface(bus.get_object(sender, path), PROPERTIES)
        return dbus.Interface(bus.get_object(sender, item.Get(ITEM, "Menu")), MENU)

    def items(self):
        _, (_, _, items) = self.menu().GetLayout(0, -1, dbus.Array([], signature="s"))
        for number, said, _ in items:
            yield {
                "id": int(number),
                "label": str(said.get("label", "")),
                "enabled": bool(said.get("enabled", True)),
                "on": int(said.get("toggle-state", -1)) == 1,
            }

    def press(self, number):
        self.menu().Event(number, "clicked", dbus.String("", variant_level=1), dbus.UInt32(0))


class ClientMessage(ctypes.Structure):
    """XClientMessageEvent of Xlib, with room for the largest event."""

    _fields_ = [
        ("type", ctypes.c_int), ("serial", ctypes.c_ulong), ("send_event", ctypes.c_int),
        ("display", ctypes.c_void_p), ("window", ctypes.c_ulong), ("kind", ctypes.c_ulong),
        ("format", ctypes.c_int), ("data", ctypes.c_long * 5), ("room", ctypes.c_long * 24),
    ]


def close(name):
    """Asks every window named Slowstone that can be asked to close."""
    x = ctypes.CDLL("libX11.so.6")
    # A window may be gone before it is asked; Xlib would end this program for it.
    calm = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_void_p)(lambda *_: 0)
    x.XSetErrorHandler(calm)
    x.XOpenDisplay.restype = ctypes.c_void_p
    for one in ("XDefaultRootWindow", "XInternAtom"):
        getattr(x, one).restype = ctypes.c_ulong
    display = ctypes.c_void_p(x.XOpenDisplay(name.encode()))
    root, parent, count = ctypes.c_ulong(), ctypes.c_ulong(), ctypes.c_uint()
    windows = ctypes.POINTER(ctypes.c_ulong)()
    top = ctypes.c_ulong(x.XDefaultRootWindow(display))
    x.XQueryTree(display, top, *map(ctypes.byref, (root, parent, windows, count)))
    asked = 0
    for number in windows[: count.value]:
        called = ctypes.c_char_p()
        x.XFetchName(display, ctypes.c_ulong(number), ctypes.byref(called))
        if called.value is None or b"Slowstone" not in called.value:
            continue
        event = ClientMessage(type=33, window=number, format=32)
        event.kind = x.XInternAtom(display, b"WM_PROTOCOLS", 0)
        event.data[0] = x.XInternAtom(display, b"WM_DELETE_WINDOW", 0)
        x.XSendEvent(display, ctypes.c_ulong(number), 0, ctypes.c_long(0), ctypes.byref(event))
        asked += 1
    x.XCloseDisplay(display)
    x.XSetErrorHandler(None)
    tell(what="closed", count=asked)


def told(source, condition):
    # Not through a buffer: lines that wait in one would wake nobody.
    lines = os.read(0, 4096).decode().splitlines()
    for line in lines:
        try:
            obey(*line.split())
        except Exception as error:
            tell(what="trouble", text=str(error))
    if not lines:
        loop.quit()
    return bool(lines)


def obey(word, value=""):
    if word == "menu":
        tell(what="menu", items=list(watcher.items()))
    elif word == "press":
        watcher.press(int(value))
    elif word == "note":
        notes.ActionInvoked(dbus.UInt32(int(value)), "default")
    elif word == "bare":
        watcher.hosted = False
    elif word == "close":
        close(value)


DBusGMainLoop(set_as_default=True)
bus = dbus.SessionBus()
names = [dbus.service.BusName(NOTES, bus), dbus.service.BusName(WATCHER, bus)]
notes = Notes(bus, "/org/freedesktop/Notifications")
watcher = Watcher(bus, "/StatusNotifierWatcher")
loop = GLib.MainLoop()
GLib.io_add_watch(sys.stdin, GLib.IO_IN | GLib.IO_HUP, told)
tell(what="ready")
loop.run()
