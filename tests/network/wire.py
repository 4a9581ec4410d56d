"""A length of cable that delays and loses: frames between the network interfaces named, as they are on the wire.

Started inside a network namespace that holds the middle ends of two or more veth pairs. Every frame that comes in at
one interface goes out at all others, each held back for the delay, or not at all. Lines on the input set both:
`loss PERCENT delay MS`; each is answered by `set`. The end of the input ends the cable.

With `--plain NAME` it only tells the kernel to send whole frames with checksums from an interface, instead of
leaving both to hardware that a veth pair has not got, and ends.
"""

import ctypes
import fcntl
import heapq
import random
import select
import socket
import struct
import sys
import time

ALL_PROTOCOLS = 3  # ETH_P_ALL, linux/if_ether.h
OUTGOING = 4  # PACKET_OUTGOING, linux/if_packet.h
SIOCETHTOOL = 0x8946  # linux/sockios.h
# ETHTOOL_STXCSUM, ETHTOOL_STSO, ETHTOOL_SGSO, linux/ethtool.h
OFFLOADS = (0x17, 0x1F, 0x24)
LONGEST = 65536


def plain(name):
    control = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    for offload in OFFLOADS:
        off = ctypes.create_string_buffer(struct.pack("II", offload, 0))
        request = struct.pack("16sP", name.encode(), ctypes.addressof(off))
        fcntl.ioctl(control, SIOCETHTOOL, request)


def opened(name):
    end = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, socket.htons(ALL_PROTOCOLS))
    end.bind((name, 0))
    end.setblocking(False)
    return end


def run(names):
    ends = [opened(name) for name in names]
    held = []
    number = 0
    loss, delay = 0.0, 0.0
    dice = random.Random(7)
    print("open", flush=True)
    while True:
        wait = max(0.0, held[0][0] - time.monotonic()) if held else None
        ready, _, _ = select.select([sys.stdin, *ends], [], [], wait)
        if sys.stdin in ready:
            line = sys.stdin.readline()
            if not line:
                return
            words = line.split()
            loss, delay = float(words[1]) / 100, float(words[3]) / 1000
            print("set", flush=True)
        for end in ends:
            if end not in ready:
                continue
            frame, place = end.recvfrom(LONGEST)
            if place[2] == OUTGOING:
                continue
            for other in ends:
                if other is not end and dice.random() >= loss:
                    number += 1
                    heapq.heappush(held, (time.monotonic() + delay, number, other, frame))
        while held and held[0][0] <= time.monotonic():
            _, _, other, frame = heapq.heappop(held)
            try:
                other.send(frame)
            except OSError as error:
                # A cable into an interface that is down, or full, loses what is sent: that is what a cable does.
                print(f"lost a frame: {error}", file=sys.stderr)


if __name__ == "__main__":
    if sys.argv[1] == "--plain":
        plain(sys.argv[2])
    else:
        run(sys.argv[1:])
