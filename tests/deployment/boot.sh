#!/usr/bin/env bash
# A machine of its own on this one: systemd as process 1, on a copy of this root that is gone with
# it. Called in namespaces of its own by tests/deployment/machine.py, with an empty folder.
set -euo pipefail
place=$1
mount -t tmpfs -o mode=755 machine "$place"
mkdir "$place"/{changes,work,root}
mount -t overlay machine -o "lowerdir=/,upperdir=$place/changes,workdir=$place/work" "$place/root"
cd "$place/root"

mount -t proc proc proc
mount -t sysfs sysfs sys
mount -t cgroup2 cgroup2 sys/fs/cgroup
mount -t tmpfs run run
mount -t tmpfs tmp tmp
mount -t tmpfs -o mode=755 dev dev
mkdir dev/pts dev/shm
mount -t devpts -o newinstance,ptmxmode=0666,mode=0620 devpts dev/pts
mount -t tmpfs shm dev/shm
ln -s pts/ptmx dev/ptmx
ln -s /proc/self/fd dev/fd
for device in null zero full random urandom tty; do
    touch "dev/$device"
    mount --bind "/dev/$device" "dev/$device"
done

# What belongs to a machine with hardware and a network of its own.
for unit in systemd-udevd.service systemd-networkd.service systemd-resolved.service \
    systemd-timesyncd.service getty.target console-getty.service apt-daily.timer \
    apt-daily-upgrade.timer; do
    ln -sf /dev/null "etc/systemd/system/$unit"
done

# Its root for good: who stands in a chroot may not make what services are hidden in.
pivot_root . .
umount --lazy .
export container=namespaces
exec /lib/systemd/systemd --system --log-target=journal --show-status=0 --unit=multi-user.target
