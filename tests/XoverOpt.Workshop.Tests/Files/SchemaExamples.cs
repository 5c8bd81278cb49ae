namespace XoverOpt.Workshop.Tests;

/// <summary>The examples of the published description of the files.</summary>
internal static class SchemaExamples
{
    public const string Receiver = """
        { "format": "receiver/1", "partNumber": "OS-L2", "maker": "Ostrel (invented)", "description": "large low-range receiver", "tags": ["low"],
          "electrical": { "dcResistanceOhm": 38, "inductanceMh": 6.0, "semiInductance": 9.0 },
          "motor": { "forceFactorNPerA": 4.2 },
          "mechanical": { "massMg": 7.0, "complianceMmPerN": 1.1, "resistanceNsPerM": 0.006 },
          "acoustical": { "diaphragmMm2": 13, "rearVolumeMm3": 220, "frontVolumeMm3": 25, "spoutLengthMm": 2.0, "spoutBoreMm": 1.4 },
          "limits": { "armatureTravelUm": 40, "coilCurrentMa": 20 },
          "body": { "lengthMm": 8.9, "widthMm": 4.3, "heightMm": 3.8 },
          "spread": { "sensitivityDb": 1.0, "resonancePercent": 4, "dcResistancePercent": 5 },
          "supply": { "unitPrice": 9.80, "currency": "EUR", "stock": 120, "leadTimeDays": 28, "packSize": 10 } }
        """;

    public const string Damper = """{ "format": "damper/1", "partNumber": "OS-D15", "ohmCgs": 1500, "tolerancePercent": 15 }""";

    public const string Tubing = """{ "format": "tubing/1", "partNumber": "OS-T15", "boreMm": 1.5, "outerMm": 2.1 }""";

    public const string Resistors =
        """{ "format": "passives/1", "kind": "resistor", "series": "E24", "minOhm": 1, "maxOhm": 330, "tolerancePercent": 1 }""";

    public const string Capacitors =
        """{ "format": "passives/1", "kind": "capacitor", "microfarad": [0.1, 0.22, 1, 10, 47], "tolerancePercent": 10, "esrOhm": 0.2 }""";

    /// <summary>The example job; its inventory stands where the tests put it.</summary>
    public const string Job = """
        { "format": "job/1", "name": "Drum-riser monitor", "note": "…", "inventory": "../driverlib",
          "target": { "bandHz": [20, 16000], "toleranceDb": 2.5, "level": { "kind": "relative", "bandHz": [200, 2000] },
            "points": [ { "hz": 20, "db": 5 }, { "hz": 50, "db": 6 }, { "hz": 125, "db": 1 }, { "hz": 160, "db": 0 } ],
            "weights": [ { "hz": 20, "weight": 1 }, { "hz": 12000, "weight": 0.5 } ] },
          "phase": { "kind": "excess", "bandHz": [20, 12000], "limitDeg": 10, "arrivalLimitUs": 10 },
          "drive": { "millivoltRms": 100, "sourceOhm": 1.0 },
          "ear": { "simulator": "iec60318-4", "residualLengthMm": 0, "residualBoreMm": 7.5, "airTempC": 23 },
          "ways": [ { "name": "low", "receivers": { "tags": ["low"] }, "counts": [1, 2, 4], "wiring": ["parallel", "series"], "polarity": ["normal"],
              "networks": [ ["series-resistor"], ["series-resistor", "shunt-capacitor"] ],
              "tube": { "boresMm": [1.0, 1.5, 2.0], "lengthMm": [8, 30] }, "dampersOhmCgs": "stock" } ],
          "limits": { "maxReceivers": 8, "minImpedanceOhm": 8, "maxPartsCost": 120, "minSplAt100mV": 100, "minPeakSpl": [ { "hz": 50, "db": 120 } ], "shellVolumeMm3": 1500, "sets": 25, "earpiecesPerSet": 2, "stockOnly": false },
          "passives": { "resistors": { "series": "E24", "minOhm": 1, "maxOhm": 330 }, "capacitors": { "series": "E6", "minMicrofarad": 0.047, "maxMicrofarad": 100 }, "coils": "none" },
          "cost": { "magnitude": 1, "phase": 1, "arrival": 1, "summing": 1 },
          "effort": { "evaluations": 5000000, "minutes": 480, "seed": 7, "keep": 20 } }
        """;

    public const string Measurements = """
        { "format": "measurements/1", "partNumber": "OS-L2", "maker": "Ostrel (invented)", "tags": ["low"], "airTempC": 23, "bandHz": [20, 20000], "seed": 1,
          "noise": { "levelDb": 0.2, "phaseDeg": 1, "impedancePercent": 0.5 },
          "known": { "diaphragmMm2": 13, "inductanceMh": 6.0, "semiInductance": 9.0, "forceFactorNPerA": 4.2, "massMg": 7.0, "complianceMmPerN": 1.1,
            "resistanceNsPerM": 0.006, "frontVolumeMm3": 25, "spoutLengthMm": 2.0, "spoutBoreMm": 1.4 },
          "assumed": { "rearVolumeMm3": 220 },
          "curves": [ { "name": "coupler", "csv": "hz,spl_db\n100,90\n200,91\n400,92\n800,93\n", "trustUnits": false, "driveMillivoltRms": 100, "sourceOhm": 1,
              "delayUnknown": false, "calibration": { "levelDb": 94, "atHz": 1000, "channel": 1 },
              "load": { "end": "cavity", "cavityMm3": 2000, "damperOhmCgs": 680, "tube": [ { "lengthMm": 10, "boreMm": 2 } ] } } ] }
        """;

    public const string Compare = """
        { "format": "compare/1",
          "curves": [ { "name": "older model", "csv": "hz,spl_db\n100,90\n200,91\n400,92\n800,93\n", "trustUnits": false, "calibration": { "levelDb": 94, "atHz": 1000, "channel": 1 } } ] }
        """;

    public const string StockBook = """
        { "format": "stock-book/1", "note": "…", "revision": 12, "currency": "EUR",
          "parts": [ { "part": "OS-L2", "stock": 96, "unitPrice": 9.6, "packSize": 10, "leadTimeDays": 21, "priceBreaks": [ { "from": 100, "unitPrice": 9.1 } ] },
                     { "part": "resistor 39 Ω", "stock": 1800 } ],
          "reservations": [ { "id": "r12", "build": "0123456789abcdef", "label": "build 2 of Drum-riser monitor", "sets": 25, "who": "Anna", "when": "2031-03-03T10:00:00Z",
              "lines": [ { "part": "OS-L2", "quantity": 50 } ] } ] }
        """;

    public const string BenchPlan = """
        { "format": "bench-plan/1", "name": "Before the tour", "neededBy": "2031-03-31", "earpiecesPerSet": 2, "cutLossMm": 1,
          "builds": [ { "build": "out/stage/builds/02.json", "job": "jobs/stage.json", "sets": 25, "priority": 2 }, { "run": "019a7c52", "rank": 2, "sets": 10 } ] }
        """;

    /// <summary>A series of which two values have price and stock of their own.</summary>
    public const string ResistorsOfTwoPrices = """
        { "format": "passives/1", "kind": "resistor", "ohm": [10, 22, 47], "supply": { "unitPrice": 0.03, "currency": "EUR", "stock": 2000 },
          "valueSupply": [ { "ohm": 22, "supply": { "unitPrice": 0.05, "currency": "EUR", "stock": 40, "packSize": 10 } }, { "ohm": 47, "supply": { "stock": 0 } } ] }
        """;

    public const string Build = """
        { "format": "build/1", "rank": 1, "cost": { "total": 0.8, "magnitude": 0.5, "phase": 0.3 }, "relaxedCost": 0.79, "snappingLossPercent": 1.3,
          "advice": [ { "what": "list-steps", "gainPercent": 1.2, "words": "capacitors come in about 6 values a decade: finer values would lower the cost by about 1 %" } ],
          "figures": { "magnitudeRmsDb": 0.62, "magnitudeMaxDb": 1.9, "phaseRmsDeg": 3.1, "phaseMaxDeg": 9.7, "arrivalSpreadUs": 6.4, "summingLossDb": 0.8, "splAt100mV": 107.1, "impedanceMinOhm": 14.2, "partsCost": 71.3 },
          "ways": [ { "name": "low", "receiver": "OS-L2", "count": 2, "wiring": "parallel", "polarity": "normal",
              "network": [ { "place": "series", "kind": "resistor", "ohm": 43 } ],
              "damperOhmCgs": 330, "tube": [ { "lengthMm": 10.5, "boreMm": 1.5 } ] } ],
          "response": { "hz": [], "pressureRe": [], "pressureIm": [], "impedanceRe": [], "impedanceIm": [], "ways": [ { "name": "low", "pressureRe": [], "pressureIm": [] } ] } }
        """;
}
