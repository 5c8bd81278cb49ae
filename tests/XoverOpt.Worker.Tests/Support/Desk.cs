using System.Globalization;

namespace XoverOpt.Worker.Tests.Support;

/// <summary>A folder of its own with a small invented drawer and jobs for it, gone when the test ends.</summary>
internal sealed class Desk : IDisposable
{
    /// <summary>More evaluations than any test waits for.</summary>
    public const long Endless = 1_000_000_000;

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("desk");

    public Desk() => Write(
        "driverlib/stock.json",
        $$"""
        [ {{Receiver("LO-1", "low", "7.0", "1.1")}}, {{Receiver("HI-1", "high", "1.0", "0.4")}}, {{Receiver("HI-2", "high", "0.8", "0.3")}},
          { "format": "damper/1", "partNumber": "D10", "ohmCgs": 1000, "supply": { "unitPrice": 0.5, "currency": "EUR" } },
          { "format": "damper/1", "partNumber": "D22", "ohmCgs": 2200, "supply": { "unitPrice": 0.5, "currency": "EUR" } },
          { "format": "tubing/1", "partNumber": "T15", "boreMm": 1.5, "supply": { "unitPrice": 3, "currency": "EUR" } },
          { "format": "passives/1", "kind": "resistor", "series": "E12", "minOhm": 10, "maxOhm": 330, "supply": { "unitPrice": 0.03, "currency": "EUR" } },
          { "format": "passives/1", "kind": "capacitor", "microfarad": [0.47, 1, 2.2, 4.7, 10], "esrOhm": 0.2, "supply": { "unitPrice": 0.2, "currency": "EUR" } } ]
        """);

    public string Root => _folder.FullName;

    public string Inventory => Path.Combine(Root, "driverlib");

    /// <summary>A two-way job with a handful of layouts: the time it takes goes with the evaluations only.</summary>
    public static string Job(long evaluations = 9000, string limits = "{}", string more = "") => string.Create(
        CultureInfo.InvariantCulture,
        $$"""
        { "format": "job/1", "name": "Small two-way", "inventory": "../driverlib", {{more}}
          "target": { "bandHz": [40, 12000], "toleranceDb": 8, "points": [ { "hz": 40, "db": 4 }, { "hz": 160, "db": 0 }, { "hz": 2800, "db": 6 }, { "hz": 12000, "db": 0 } ] },
          "ways": [ { "name": "low", "receivers": { "tags": ["low"] }, "counts": [1, 2], "wiring": ["parallel"], "networks": [ ["series-resistor"] ] },
                    { "name": "high", "receivers": { "tags": ["high"] }, "counts": [1], "polarity": ["normal", "inverted"],
                      "networks": [ ["series-resistor", "series-capacitor"], ["series-resistor"] ] } ],
          "limits": {{limits}},
          "effort": { "evaluations": {{evaluations}}, "seed": 5, "keep": 4 } }
        """);

    public string Write(string name, string text)
    {
        string path = Path.Combine(Root, name);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllText(path, text);
        return path;
    }

    public string Read(string name) => File.ReadAllText(Path.Combine(Root, name));

    /// <summary>The builds a solve wrote, best first.</summary>
    public string[] Builds(string output) =>
        [.. Directory.EnumerateFiles(Path.Combine(Root, output, "builds")).Order(StringComparer.Ordinal).Select(File.ReadAllText)];

    public void Dispose() => _folder.Delete(recursive: true);

    private static string Receiver(string partNumber, string tag, string massMg, string compliance) => $$"""
        { "format": "receiver/1", "partNumber": "{{partNumber}}", "maker": "Ostrel (invented)", "description": "a receiver", "tags": ["{{tag}}"],
          "electrical": { "dcResistanceOhm": 38, "inductanceMh": 6.0, "semiInductance": 9.0 }, "motor": { "forceFactorNPerA": 4.2 },
          "mechanical": { "massMg": {{massMg}}, "complianceMmPerN": {{compliance}}, "resistanceNsPerM": 0.006 },
          "acoustical": { "diaphragmMm2": 9, "rearVolumeMm3": 150, "frontVolumeMm3": 20, "spoutLengthMm": 2.0, "spoutBoreMm": 1.4 },
          "limits": { "armatureTravelUm": 40, "coilCurrentMa": 20 }, "body": { "lengthMm": 8, "widthMm": 4, "heightMm": 3 },
          "supply": { "unitPrice": 9.80, "currency": "EUR", "stock": 120 } }
        """;
}
