using System.Text;

namespace XoverOpt.Workshop.Tests;

/// <summary>A folder of its own with a small drawer and a job beside it, gone when the test ends.</summary>
internal sealed class JobDesk : IDisposable
{
    /// <summary>Target and inventory: the smallest job.</summary>
    public const string SmallestJob = """
        { "format": "job/1", "inventory": "../driverlib", "target": { "points": [ { "hz": 20, "db": 5 }, { "hz": 160, "db": 0 } ] } }
        """;

    public const string Stock = """
        [ { "format": "damper/1", "partNumber": "D15", "ohmCgs": 1500, "supply": { "unitPrice": 0.58, "currency": "EUR", "stock": 9 } },
          { "format": "damper/1", "partNumber": "D03", "ohmCgs": 330 },
          { "format": "tubing/1", "partNumber": "T15", "boreMm": 1.5, "outerMm": 2.1, "supply": { "unitPrice": 2.9, "currency": "EUR", "stock": 80 } },
          { "format": "tubing/1", "partNumber": "T13", "boreMm": 1.3 },
          { "format": "passives/1", "kind": "resistor", "series": "E6", "minOhm": 10, "maxOhm": 100, "tolerancePercent": 1,
            "supply": { "unitPrice": 0.03, "currency": "EUR", "stock": 2000 } },
          { "format": "passives/1", "kind": "capacitor", "microfarad": [0.1, 0.047], "tolerancePercent": 10, "esrOhm": 0.2,
            "supply": { "unitPrice": 0.20, "currency": "EUR", "stock": 3 } },
          { "format": "passives/1", "kind": "capacitor", "microfarad": [0.1], "tolerancePercent": 20, "esrOhm": 0.5, "partNumber": "C-CHEAP",
            "supply": { "unitPrice": 0.10, "currency": "EUR", "stock": 1 } } ]
        """;

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("desk");

    public JobDesk()
    {
        Write("driverlib/stock.json", Stock);
        Write("driverlib/receivers.json", $"[ {Receiver("LO-1", "low")}, {Receiver("MI-1", "mid")}, {Receiver("HI-1", "high")}, {Receiver("HI-2", "high")} ]");
    }

    public string Root => Path.Combine(_folder.FullName, "driverlib");

    public static string Receiver(string partNumber, string tag, string compliance = "1.1") => $$"""
        { "format": "receiver/1", "partNumber": "{{partNumber}}", "maker": "Ostrel (invented)", "description": "a receiver", "tags": ["{{tag}}"],
          "electrical": { "dcResistanceOhm": 38, "inductanceMh": 6.0, "semiInductance": 9.0 }, "motor": { "forceFactorNPerA": 4.2 },
          "mechanical": { "massMg": 7.0, "complianceMmPerN": {{compliance}}, "resistanceNsPerM": 0.006 },
          "acoustical": { "diaphragmMm2": 13, "rearVolumeMm3": 220, "frontVolumeMm3": 25, "spoutLengthMm": 2.0, "spoutBoreMm": 1.4 },
          "limits": { "armatureTravelUm": 40, "coilCurrentMa": 20 }, "body": { "lengthMm": 8.9, "widthMm": 4.3, "heightMm": 3.8 },
          "spread": { "sensitivityDb": 1.0, "resonancePercent": 4, "dcResistancePercent": 5 },
          "supply": { "unitPrice": 9.80, "currency": "EUR", "stock": 120, "leadTimeDays": 28, "packSize": 10 } }
        """;

    /// <summary>The smallest job with more keys, such as "\"name\": \"x\"".</summary>
    public static string With(string keys) => SmallestJob.Replace("{ \"format\"", $"{{ {keys}, \"format\"", StringComparison.Ordinal);

    public string Write(string name, string text) => Write(name, Encoding.UTF8.GetBytes(text));

    public string Write(string name, byte[] bytes)
    {
        string path = Path.Combine(_folder.FullName, name);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllBytes(path, bytes);
        return path;
    }

    public Reading<JobDocument> Read(string job) => JobFile.Read(Write("jobs/job.json", job));

    public Reading<JobDocument> ReadPosted(string job) => JobFile.ReadPosted(Encoding.UTF8.GetBytes(job), Root);

    public JobDocument Good(string job, string? curve = null)
    {
        if (curve is not null)
        {
            Write("jobs/curve.csv", curve);
        }

        Reading<JobDocument> reading = Read(job);
        Assert.Empty(reading.Faults);
        return reading.Value!;
    }

    public void Dispose() => _folder.Delete(recursive: true);
}
