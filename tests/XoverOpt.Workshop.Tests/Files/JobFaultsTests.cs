using System.Text;

namespace XoverOpt.Workshop.Tests;

/// <summary>What is refused, where it is said to be, and in what words.</summary>
public sealed class JobFaultsTests : IDisposable
{
    private const string Way = """{ "name": "low", "receivers": { "tags": ["low"] } }""";

    private readonly JobDesk _desk = new();

    public void Dispose() => _desk.Dispose();

    [Theory]
    [InlineData("\"nmae\": \"x\"", "/nmae", "unknown key \"nmae\"", "Did you mean \"name\"?")]
    [InlineData("\"name\": 5", "/name", "found the number 5", "text in quotation marks")]
    [InlineData("\"drive\": { \"millivoltRms\": 1e400 }", "/drive/millivoltRms", "found the number 1e400", "at most 10000 mV")]
    [InlineData("\"drive\": []", "/drive", "found a list []", "an object")]
    [InlineData("\"ear\": { \"elements\": \"clasic\" }", "/ear/elements", "refit-damped", "Did you mean \"classic\"?")]
    [InlineData("\"ear\": { \"leak\": { \"massKgPerM4\": 1 } }", "/ear/leak", "no key \"resistanceOhmCgs\"", "a number above 0 cgs ohm")]
    [InlineData("\"phase\": { \"bandHz\": [5, 12000] }", "/phase/bandHz/0", "found the number 5", "from 10 Hz to 20000 Hz")]
    [InlineData("\"phase\": { \"bandHz\": [1000, 200] }", "/phase/bandHz", "found a list [1000, 200]", "an upper edge at least 2 times the lower one")]
    [InlineData("\"phase\": { \"bandHz\": [1000] }", "/phase/bandHz", "found 1 items", "two frequencies")]
    [InlineData("\"ways\": []", "/ways", "found an empty list", "a list of ways with at least 1 and at most 8")]
    [InlineData("\"limits\": { \"maxReceivers\": 2 }", "/limits/maxReceivers", "found the number 2", "at least 3, the fewest that the 3 ways can have")]
    [InlineData("\"limits\": { \"sets\": 0 }", "/limits/sets", "found the number 0", "a whole number from 1 to 100000")]
    [InlineData("\"limits\": { \"stockOnly\": \"yes\" }", "/limits/stockOnly", "found the text \"yes\"", "true or false")]
    [InlineData("\"cost\": { \"magnitude\": 0, \"phase\": 0, \"arrival\": 0, \"summing\": 0 }", "/cost", "found an object", "at least one weight above 0")]
    [InlineData("\"effort\": { \"evaluations\": 1.5 }", "/effort/evaluations", "found the number 1.5", "a whole number from 1")]
    [InlineData("\"tube\": { \"cutStepMm\": 0 }", "/tube/cutStepMm", "found the number 0", "from 0.01 mm")]
    [InlineData("\"robust\": { \"samples\": 10 }", "/robust/samples", "found the number 10", "a whole number from 50 to 10000")]
    [InlineData("\"robust\": { \"spread\": false, \"ears\": false, \"sources\": false }", "/robust", "found an object", "at least one of \"spread\", \"ears\" and \"sources\" true")]
    [InlineData("\"schedule\": { \"notBefore\": \"tomorrow\" }", "/schedule/notBefore", "found the text \"tomorrow\"", "RFC 3339")]
    [InlineData("\"from\": { \"build\": { \"ways\": [ { \"name\": \"low\", \"receiver\": \"LO-1\", \"tube\": [ { \"lengthMm\": 9, \"boreMm\": 1.5 } ] } ] }, \"free\": [\"lo\"] }", "/from/free/0", "found the text \"lo\"", "Did you mean \"low\"?")]
    [InlineData("\"passives\": { \"resistors\": { \"series\": \"E25\", \"minOhm\": 1, \"maxOhm\": 9 } }", "/passives/resistors/series", "E25", "\"E24\"")]
    [InlineData("\"passives\": { \"coils\": { \"series\": \"E3\", \"minMillihenry\": 9, \"maxMillihenry\": 2 } }", "/passives/coils/maxMillihenry", "found the number 2", "at least minMillihenry, 9")]
    [InlineData("\"passives\": { \"capacitors\": [] }", "/passives/capacitors", "found an empty list", "at least 1")]
    [InlineData("\"passives\": { \"coils\": 3 }", "/passives/coils", "found the number 3", "\"stock\", \"none\"")]
    public void Job_BadPart_IsRefusedInItsPlace(string keys, string pointer, string found, string allowed) =>
        Expect(_desk.Read(JobDesk.With(keys)), pointer, found, allowed);

    [Theory]
    [InlineData("""{ "name": "low", "receivers": { "tags": ["lwo"] } }""", "/ways/0/receivers/tags/0", "a tag of the drawer (high, low, mid)", "Did you mean \"low\"?")]
    [InlineData("""{ "name": "low", "receivers": { "partNumbers": ["LO-2"] } }""", "/ways/0/receivers/partNumbers/0", "(HI-1, HI-2, LO-1, MI-1)", "Did you mean \"LO-1\"?")]
    [InlineData("""{ "name": "low", "receivers": { "tags": ["low"], "partNumbers": ["LO-1"] } }""", "/ways/0/receivers", "found an object", "either \"tags\" or \"partNumbers\"")]
    [InlineData("""{ "name": "top" }""", "/ways/0", "no key \"receivers\"", "no receiver bears the way's name as a tag")]
    [InlineData("""{ "receivers": { "tags": ["low"] } }""", "/ways/0", "no key \"name\"", "text")]
    [InlineData("""{ "name": "low", "counts": [0] }""", "/ways/0/counts/0", "found the number 0", "a whole number from 1 to 16")]
    [InlineData("""{ "name": "low", "counts": [] }""", "/ways/0/counts", "found an empty list", "at least 1")]
    [InlineData("""{ "name": "low", "wiring": ["serial"] }""", "/ways/0/wiring/0", "found the text \"serial\"", "Did you mean \"series\"?")]
    [InlineData("""{ "name": "low", "networks": [["series-resitor"]] }""", "/ways/0/networks/0/0", "series-resitor", "Did you mean \"series-resistor\"?")]
    [InlineData("""{ "name": "low", "networks": [["series-coil"]] }""", "/ways/0/networks/0", "found a list", "it may use no coils")]
    [InlineData("""{ "name": "low", "tube": { "lengthMm": [25, 8] } }""", "/ways/0/tube/lengthMm", "found a list [25, 8]", "shortest then longest length")]
    [InlineData("""{ "name": "low", "tube": { "boresMm": [15] } }""", "/ways/0/tube/boresMm/0", "found the number 15", "from 0.2 mm to 10 mm")]
    [InlineData("""{ "name": "low", "dampersOhmCgs": "all" }""", "/ways/0/dampersOhmCgs", "found the text \"all\"", "\"stock\", \"none\" or a list")]
    public void Way_BadPart_IsRefusedInItsPlace(string way, string pointer, string found, string allowed) =>
        Expect(_desk.Read(JobDesk.With($"\"ways\": [ {way} ]")), pointer, found, allowed);

    [Fact]
    public void Ways_TwoOfOneName_AreRefused() =>
        Expect(_desk.Read(JobDesk.With($"\"ways\": [ {Way}, {Way} ]")), "/ways/1/name", "the text \"low\"", "a name that no other way has");

    [Fact]
    public void Ways_Nine_AreRefused()
    {
        string ways = string.Join(',', Enumerable.Range(1, 9).Select(k => $$"""{ "name": "w{{k}}", "receivers": { "tags": ["low"] } }"""));

        Expect(_desk.Read(JobDesk.With($"\"ways\": [ {ways} ]")), "/ways", "found 9 items", "at most 8");
    }

    [Theory]
    [InlineData(4, 8, 0)]
    [InlineData(5, 6, 0)]
    [InlineData(8, 3, 0)]
    [InlineData(5, 6, 41)]
    [InlineData(8, 8, 80)]
    public void Ways_MoreValuesThanTheKernelHolds_AreRefusedWithBothNumbers(int ways, int parts, int refused)
    {
        // A tube and a damper a way beside the parts; 41 is the first that is too many, by a seventh part in the last way. The largest
        // network of a way counts, not the last.
        string list = string.Join(',', Enumerable.Range(1, ways).Select(k =>
        {
            int own = k == ways && refused == 41 ? parts + 1 : parts;
            string sections = string.Join(',', Enumerable.Repeat("\"series-resistor-capacitor\"", own / 2).Concat(Enumerable.Repeat("\"series-resistor\"", own % 2)));
            return $$"""{ "name": "w{{k}}", "receivers": { "tags": ["low"] }, "networks": [ [ {{sections}} ], [ "series-resistor" ] ] }""";
        }));

        Reading<JobDocument> reading = _desk.Read(JobDesk.With($"\"ways\": [ {list} ]"));

        if (refused == 0)
        {
            Assert.Empty(reading.Faults);
        }
        else
        {
            Expect(reading, "/ways", $"found {refused} values in {ways} way(s)", "at most 40 values");
        }
    }

    [Theory]
    [InlineData("""{ "points": [ { "hz": 200, "db": 0 }, { "hz": 100, "db": 1 } ] }""", "/target/points/1/hz", "found the number 100", "a frequency above 200 Hz")]
    [InlineData("""{ "points": [ { "hz": 200, "db": 0 }, { "hz": 200, "db": 1 } ] }""", "/target/points/1/hz", "found the number 200", "Points run from low to high")]
    [InlineData("""{ "points": [] }""", "/target/points", "found an empty list", "at least 1")]
    [InlineData("""{ }""", "/target", "no key \"points\"", "a list")]
    [InlineData("""{ "points": [ { "hz": 200 } ] }""", "/target/points/0", "no key \"db\"", "from -200 dB")]
    [InlineData("""{ "points": [ { "hz": 20, "db": 0 } ], "bandHz": [20, 30000] }""", "/target/bandHz/1", "found the number 30000", "from 10 Hz to 20000 Hz")]
    [InlineData("""{ "points": [ { "hz": 20, "db": 0 } ], "weights": [ { "hz": 20, "weight": -1 } ] }""", "/target/weights/0/weight", "found the number -1", "from 0 to 1000")]
    [InlineData("""{ "points": [ { "hz": 20, "db": 0 } ], "weights": [ { "hz": 3000, "weight": 0 }, { "hz": 9000, "weight": 1 } ] }""", "/target/weights", "weights of 0", "in the level band")]
    [InlineData("""{ "points": [ { "hz": 20, "db": 0 } ], "file": "curve.csv" }""", "/target/file", "found both", "either \"points\" or \"file\"")]
    public void Target_Bad_IsRefusedInItsPlace(string target, string pointer, string found, string allowed) =>
        Expect(_desk.Read($$"""{ "format": "job/1", "inventory": "../driverlib", "target": {{target}} }"""), pointer, found, allowed);

    [Fact]
    public void Job_MissingKeys_AreAllNamedAtOnce()
    {
        IReadOnlyList<Fault> faults = _desk.Read("""{ "format": "job/1", "drive": { "sourceOhm": -1 } }""").Faults;

        Assert.Equal(3, faults.Count);
        Assert.Contains(faults, fault => fault.Message.Contains("no key \"inventory\"", StringComparison.Ordinal));
        Assert.Contains(faults, fault => fault.Message.Contains("no key \"target\"", StringComparison.Ordinal));
        Assert.Contains(faults, fault => fault.Pointer == "/drive/sourceOhm");
    }

    [Fact]
    public void Job_UnknownFormat_IsRefused() =>
        Expect(_desk.Read("""{ "format": "job/7" }"""), "/format", "found the text \"job/7\"", "allowed: \"job/1\"");

    [Fact]
    public void Job_MissingInventory_IsRefused()
    {
        Expect(
            _desk.Read(JobDesk.SmallestJob.Replace("../driverlib", "../drawer", StringComparison.Ordinal)),
            "/inventory",
            "no such file or folder: ../drawer",
            "a folder or file that exists");
    }

    [Fact]
    public void Job_Utf16_IsRefused()
    {
        string path = _desk.Write("jobs/job.json", [.. Encoding.Unicode.GetPreamble(), .. Encoding.Unicode.GetBytes(JobDesk.SmallestJob)]);

        Expect(JobFile.Read(path), "", "text in UTF-16", "UTF-8");
    }

    [Fact]
    public void Job_TenMegabytesOfBrackets_IsRefused() => Expect(_desk.ReadPosted(new string('[', 10_000_000)), "", "10000000 bytes", "8 MB");

    private static void Expect<T>(Reading<T> reading, string pointer, string found, string allowed)
        where T : class
    {
        Assert.Null(reading.Value);
        Fault fault = Assert.Single(reading.Faults);
        Assert.Equal(pointer, fault.Pointer);
        Assert.Contains(found, fault.Message, StringComparison.Ordinal);
        Assert.Contains(allowed, fault.Message, StringComparison.Ordinal);
    }
}
