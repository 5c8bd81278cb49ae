using System.Globalization;
using System.Text;
using System.Text.Json;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests;

public sealed class JobFileTests : IDisposable
{
    internal const string FullJob = """
        { "format": "job/1", "name": "Full", "note": "a note", "inventory": ["../driverlib/receivers.json", "../driverlib/stock.json"],
          "target": { "bandHz": [30, 15000], "toleranceDb": 3, "level": { "kind": "absolute", "bandHz": [300, 3000] }, "file": "curve.csv" },
          "phase": { "kind": "delay-removed", "bandHz": [40, 9000], "limitDeg": 15, "arrivalLimitUs": 20 },
          "drive": { "millivoltRms": 200, "sourceOhm": 2.5 },
          "ear": { "simulator": "iec60318-4", "elements": "classic", "residualLengthMm": 3, "residualBoreMm": 7, "airTempC": 30,
            "leak": { "resistanceOhmCgs": 500, "massKgPerM4": 1000 } },
          "tube": { "cutStepMm": 0.1 },
          "ways": [ { "name": "bass", "receivers": { "partNumbers": ["LO-1"] }, "counts": [4, 2, 2], "wiring": ["series"], "polarity": ["inverted"],
            "networks": [ [], ["shunt-capacitor-resistor"], ["series-coil"] ], "tube": { "boresMm": [2.0, 1.3], "lengthMm": [7.95, 12.3] },
            "dampersOhmCgs": [1500, 0, 680] } ],
          "limits": { "maxReceivers": 4, "minImpedanceOhm": 8, "maxPartsCost": 120.5, "minSplAt100mV": 100, "minPeakSpl": [ { "hz": 50, "db": 120 } ],
            "shellVolumeMm3": 1500, "sets": 2, "stockOnly": false },
          "passives": { "resistors": { "series": "E24", "minOhm": 90, "maxOhm": 110 }, "capacitors": "stock", "coils": [0.47] },
          "cost": { "phase": 2 }, "effort": { "evaluations": 1000, "minutes": 4.5, "seed": 7, "keep": 3, "endAfter": 900 },
          "schedule": { "priority": 2, "notBefore": "2030-05-31T18:00:00+02:00", "deadline": "2030-06-01T06:00:00Z" },
          "from": { "build": { "job": "Parent", "rank": 1, "ways": [ { "name": "bass", "receiver": "LO-1", "tube": [ { "lengthMm": 8, "boreMm": 1.3 } ] } ] }, "free": ["bass"] },
          "known": { "of": "before", "builds": [ { "ways": [ { "name": "bass", "receiver": "LO-1", "count": 2, "wiring": "series", "damperOhmCgs": 1500,
            "network": [ { "place": "series", "kind": "coil", "millihenry": 0.47 } ], "tube": [ { "lengthMm": 8, "boreMm": 1.3 } ] } ] } ] } }
        """;

    private readonly JobDesk _desk = new();

    public JobFileTests() => _desk.Write("jobs/curve.csv", "Hz,dB,weight\n# invented\n20,5,1\n50;6;1\r\n160\t0\t0.5\n");

    public void Dispose() => _desk.Dispose();

    [Fact]
    public void Read_FullJob_BringsEveryPart()
    {
        JobDocument document = _desk.Good(FullJob);
        Problem problem = document.Problem;

        Assert.Equal(("Full", "a note"), (problem.Name, document.Note));
        Assert.Equal([20, 50, 160], problem.Target.Curve.Hz);
        Assert.Equal([5, 6, 0], problem.Target.Curve.Values);
        Assert.Equal([1, 1, 0.5], problem.Target.Weights.Values);
        Assert.Equal((LevelKind.Absolute, 300.0, 3000.0), (problem.Target.Level, problem.Target.LevelLowHz, problem.Target.LevelHighHz));
        Assert.Equal(new PhaseGoal(PhaseKind.DelayRemoved, 40, 9000, 15, 20e-6), problem.Phase);
        Assert.Equal(new Source(0.2, 2.5), problem.Source);
        Assert.Equal(new Ear(EarSimulator.Classic, 0.003, 0.007, new Leak(5e7, 1000), Air.At(30)), problem.Ear);
        Assert.Equal(new CostWeights(1, 2, 1, 1), problem.Cost);
        Assert.Equal(new Effort(1000, 4.5, 7, 3) { EndAfter = 900 }, problem.Effort);
        Assert.Equal((4, 8.0, 120.5m, 100.0, 1.5e-6, 2), (problem.Limits.MaxReceivers, problem.Limits.MinImpedance, problem.Limits.MaxPartsCost,
            problem.Limits.MinSplAt100mV, problem.Limits.ShellVolume, problem.Limits.Sets));
        Assert.Equal([new PeakSpl(50, 120)], problem.Limits.MinPeakSpl);
        Assert.Equal(new JobSchedule(2, new(2030, 5, 31, 16, 0, 0, TimeSpan.Zero), new(2030, 6, 1, 6, 0, 0, TimeSpan.Zero)), document.Schedule);
        Assert.Equal(("Parent", 1, "LO-1", "bass"), (document.From!.Job, document.From.Rank, document.From.Parent.Ways[0].Receiver.PartNumber, Assert.Single(document.From.Free)));
        Assert.Equal(("before", 1500e5), (document.Known!.Of, document.Known.Builds[0].Ways[0].DamperResistance));
        Assert.Equal([document.From.Parent, document.Known.Builds[0]], problem.Known);
    }

    [Fact]
    public void Read_FullJob_BringsTheWay()
    {
        WayChoice way = Assert.Single(_desk.Good(FullJob).Problem.Ways);

        Assert.Equal([2, 4], way.Counts);
        Assert.Equal([Wiring.Series], way.Wirings);
        Assert.Equal([Polarity.Inverted], way.Polarities);
        Assert.Equal(["wire", "shunt-resistor-capacitor", "series-coil"], way.Networks.Select(shape => shape.ToString()));
        Assert.Equal([0.0013, 0.002], way.Bores.Select(bore => bore.Value));
        Assert.Equal(["T13", null], way.Bores.Select(bore => bore.PartNumber));
        Assert.Equal((0.008, 0.0123), (way.TubeMin, way.TubeMax));
        Assert.Equal([(0, null), (6.8e7, null), (1.5e8, "D15")], way.Dampers.Select(damper => (damper.Value, damper.PartNumber)));
    }

    [Fact]
    public void Read_FullJob_PassivesBearThePriceTheDrawerKnows()
    {
        PassiveStock passives = _desk.Good(FullJob).Problem.Passives;

        Assert.Equal([(91, null), (100, 0.03m), (110, null)], passives.Resistors.Select(part => (part.Value, part.Supply?.UnitPrice)));
        Assert.Equal([Units.FromMillihenry(0.47)], passives.Coils.Select(part => part.Value));
    }

    [Theory]
    [InlineData(JobDesk.SmallestJob)]
    [InlineData(FullJob)]
    public void SelfContainedJson_ReadAgain_IsTheSameJob(string job)
    {
        JobDocument first = _desk.Good(job);

        Reading<JobDocument> again = JobFile.ReadPosted(Encoding.UTF8.GetBytes(first.SelfContainedJson), Path.Combine("no", "such", "root"));

        Assert.Empty(again.Faults);
        Assert.Equal(JsonSerializer.Serialize(first.Problem), JsonSerializer.Serialize(again.Value!.Problem));
        Assert.Equal(first.SelfContainedJson, again.Value.SelfContainedJson);
        Assert.Equal((first.Note, first.Schedule), (again.Value.Note, again.Value.Schedule));
    }

    [Fact]
    public void Hashes_DependOnWhatIsSearched()
    {
        Problem job = _desk.Good(JobDesk.SmallestJob).Problem;
        Problem spaced = _desk.Good("// spaced\n" + JobDesk.SmallestJob.Replace("\"hz\": 20,", "\"hz\":   2.0e1,", StringComparison.Ordinal)).Problem;
        Problem noted = _desk.Good(JobDesk.With("\"note\": \"x\", \"schedule\": { \"priority\": 3 }")).Problem;
        Problem seeded = _desk.Good(JobDesk.With("\"effort\": { \"seed\": 2 }")).Problem;
        _desk.Write("driverlib/more.json", JobDesk.Receiver("HI-3", "high"));
        Problem stocked = _desk.Good(JobDesk.SmallestJob).Problem;

        Assert.Matches("^[0-9a-f]{64}$", job.JobHash);
        Assert.Equal((job.JobHash, job.InventoryHash), (spaced.JobHash, spaced.InventoryHash));
        Assert.Equal(job.JobHash, noted.JobHash);
        Assert.NotEqual(job.JobHash, seeded.JobHash);
        Assert.Equal(job.JobHash, stocked.JobHash);
        Assert.NotEqual(job.InventoryHash, stocked.InventoryHash);
    }

    [Fact]
    public void Read_CommaDecimalCulture_IsTheSameJob()
    {
        JobDocument plain = _desk.Good(FullJob);
        CultureInfo before = CultureInfo.CurrentCulture;
        CultureInfo comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        comma.NumberFormat.NumberDecimalSeparator = ",";
        comma.NumberFormat.NumberGroupSeparator = ".";
        comma.NumberFormat.NegativeSign = "~";
        try
        {
            CultureInfo.CurrentCulture = comma;
            Assert.Equal("1,5", 1.5.ToString(CultureInfo.CurrentCulture));

            JobDocument read = _desk.Good(FullJob);
            Fault fault = Assert.Single(_desk.Read(JobDesk.With("\"tube\": { \"cutStepMm\": -0.5 }")).Faults);

            Assert.Equal(plain.SelfContainedJson, read.SelfContainedJson);
            Assert.Equal(JsonSerializer.Serialize(plain.Problem), JsonSerializer.Serialize(read.Problem));
            Assert.Equal(0.0123, Units.FromMm(Units.ToMm(0.0123)));
            Assert.Contains("found the number -0.5; allowed: a number from 0.01 mm to 10 mm", fault.Message, StringComparison.Ordinal);
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Theory]
    [InlineData("20,5\n20,6\n", "in line 2 \"20,6\"", "above 20 Hz")]
    [InlineData("20,x\n", "in line 1 \"20,x\"", "level from -200 to 200 dB")]
    [InlineData("20,5,1\n30,5\n", "in line 2 \"30,5\"", "3 columns")]
    [InlineData("Hz,dB\n", "no line of numbers", "Hz, dB")]
    [InlineData("20,NaN\n", "in line 1", "level from -200 to 200 dB")]
    public void CurveFile_Bad_IsRefusedByLine(string text, string found, string allowed)
    {
        _desk.Write("jobs/curve.csv", text);

        Fault fault = Assert.Single(_desk.Read(FullJob).Faults);

        Assert.Equal("curve.csv", fault.File);
        Assert.Contains(found, fault.Message, StringComparison.Ordinal);
        Assert.Contains(allowed, fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void ReadPosted_CurveFile_IsRefused()
    {
        Fault fault = Assert.Single(_desk.ReadPosted(FullJob).Faults);

        Assert.Equal("/target/file", fault.Pointer);
        Assert.Contains("\"points\" in the job itself", fault.Message, StringComparison.Ordinal);
    }
}
