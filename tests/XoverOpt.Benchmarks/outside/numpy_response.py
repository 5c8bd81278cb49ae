"""The response of an earpiece in NumPy, vectorised over frequency: the same equations as this project's kernel, written as they read.

    python3 numpy_response.py build.json

The file holds the build in SI units, the frequencies, and the response to agree with. Prints JSON: the largest relative difference, µs a
response with tables per receiver and bore made beforehand and with everything made anew, and the response with every tube lumped to one
mass, one resistance and one compliance, for a check against a circuit simulator.
"""

import json
import sys
import time

import numpy as np
from scipy.special import jve

# A chain (A, B, C, D): [in] = M [out], time factor exp(jωt).
def times(m, n):
    return (m[0] * n[0] + m[1] * n[2], m[0] * n[1] + m[1] * n[3], m[2] * n[0] + m[3] * n[2], m[2] * n[1] + m[3] * n[3])


def series(z):
    return (1, z, 0, 1)


def shunt(y):
    return (1, 0, y, 1)


def alike(m, count, parallel):
    """n alike with their outlets joined: coils on the same leads, or one after another."""
    a, b, c, d = m
    return (a, b / count, c * count, d) if parallel else (a * count, b, c, d / count)


class Earpiece:
    def __init__(self, build, lumped=False):
        self.build, self.lumped = build, lumped
        self.w = 2 * np.pi * np.array(build["hz"])
        self.air = build["air"]
        self.bulk = self.air["Density"] * self.air["SoundSpeed"] ** 2
        self.prepare()

    def prepare(self):
        """All that does not change from candidate to candidate: receivers, bores, ear."""
        self.receivers = [self.receiver(way) for way in self.build["ways"]]
        self.lines = [self.line(way["bore"]) for way in self.build["ways"]]
        ear = self.ear(self.build["ear"])
        self.load, self.drum = ear[2] / ear[0], 1 / ear[0]

    def line(self, bore):
        """Γ and Z_c of a bore: Zwikker and Kosten, F = 2 J1(x)/(x J0(x)), 1 - F = -J2(x)/J0(x), Bessel functions scaled."""
        air, a = self.air, bore / 2
        area = np.pi * a * a
        xv = np.sqrt(-1j * self.w * air["Density"] / air["Viscosity"]) * a
        xt = np.sqrt(-1j * self.w / air["ThermalDiffusivity"]) * a
        z = 1j * self.w * air["Density"] / area / (-jve(2, xv) / jve(0, xv))
        y = 1j * self.w * area / self.bulk * (1 + (air["HeatRatio"] - 1) * 2 * jve(1, xt) / (xt * jve(0, xt)))
        gamma = np.sqrt(z * y)
        return gamma, z / gamma

    def tube(self, length, bore, line=None):
        if length == 0:
            return (1, 0, 0, 1)
        if self.lumped:
            area = np.pi * bore * bore / 4
            resistance = 8 * np.pi * self.air["Viscosity"] * length / area**2
            mass = 4 / 3 * self.air["Density"] * length / area
            return times(series(resistance + 1j * self.w * mass), shunt(1j * self.w * area * length / self.bulk))
        gamma, zc = line or self.line(bore)
        e = np.exp(gamma * length)
        cosh, sinh = (e + 1 / e) / 2, (e - 1 / e) / 2
        return (cosh, zc * sinh, sinh / zc, cosh)

    def receiver(self, way):
        """Motor, front volume and spout of all receivers of a way."""
        r, w = way["receiver"], self.w
        branches = [1j * w * r["Inductance"]] if r["Inductance"] else []
        branches += [r["SemiInductance"] * np.sqrt(1j * w)] if r["SemiInductance"] else []
        ze = r["DcResistance"] + (1 / sum(1 / z for z in branches) if branches else 0)
        t, s = r["ForceFactor"], r["DiaphragmArea"]
        zm = r["Resistance"] + 1j * w * r["Mass"] + (1 / r["Compliance"] + s * s * self.bulk / r["RearVolume"]) / (1j * w)
        motor = (ze * s / t, ze * zm / (t * s) + t / s, s / t, zm / (t * s))
        front = times(shunt(1j * w * r["FrontVolume"] / self.bulk), self.tube(r["SpoutLength"], r["SpoutBore"]))
        return times(alike(motor, way["count"], way["parallel"]), alike(front, way["count"], True))

    def ear(self, e):
        w = self.w
        chain = self.tube(e["residualLength"], e["residualBore"])
        s = e["simulator"]
        for mass, volume, branch in (("1", "1", "2"), ("3", "3", "4"), ("5", "5", None)):
            chain = times(chain, series(s["R" + mass] + 1j * w * s["L" + mass]))
            chain = times(chain, shunt(1j * w * s["C" + volume]))
            if branch:
                chain = times(chain, shunt(1 / (s["R" + branch] + 1j * w * s["L" + branch] + 1 / (1j * w * s["C" + branch]))))
        return chain

    def response(self):
        """Eardrum pressure and socket admittance: three sums over the ways."""
        w, drive, acoustic, electric = self.w, 0, self.load, 0
        for way, receiver, line in zip(self.build["ways"], self.receivers, self.lines):
            chain = (1, 0, 0, 1)
            for part in way["network"]:
                z = (part["R"] or 0) + 1j * w * (part["L"] or 0) + (1 / (1j * w * part["C"]) if part["C"] else 0) + part["loss"]
                chain = times(chain, series(z) if part["series"] else shunt(1 / z))
            a, b, _, d = times(times(times(chain, receiver), series(way["damper"])), self.tube(way["length"], way["bore"], line))
            drive, acoustic, electric = drive + way["sign"] / b, acoustic + a / b, electric + d / b
        admittance = electric + drive * drive / acoustic
        voltage = self.build["source"]["Voltage"] / (1 + self.build["source"]["Resistance"] * admittance)
        return voltage * drive / acoustic * self.drum, admittance


def microseconds(action):
    best = np.inf
    for _ in range(8):
        began, calls = time.perf_counter(), 0
        while time.perf_counter() - began < 0.1:
            action()
            calls += 1
        best = min(best, (time.perf_counter() - began) / calls)
    return best * 1e6


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        build = json.load(file)
    piece = Earpiece(build)
    pressure, admittance = piece.response()
    expected = build["expected"]
    difference = max(
        np.max(np.abs(found - (np.array(re) + 1j * np.array(im))) / np.abs(found))
        for found, re, im in ((pressure, expected["pressureRe"], expected["pressureIm"]), (admittance, expected["admittanceRe"], expected["admittanceIm"])))

    def anew():
        piece.prepare()
        piece.response()

    lumped = Earpiece(build, lumped=True).response()[0]
    print(json.dumps({
        "difference": float(difference), "microseconds": microseconds(piece.response), "microsecondsAnew": microseconds(anew),
        "lumpedRe": list(lumped.real), "lumpedIm": list(lumped.imag)}))


if __name__ == "__main__":
    main()
