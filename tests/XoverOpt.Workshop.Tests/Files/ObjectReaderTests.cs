using System.Text;

namespace XoverOpt.Workshop.Tests;

public class ObjectReaderTests
{
    private readonly FaultList _faults = new();

    [Fact]
    public void Finish_MisspeltKey_NamesTheNearestAndTheKnown()
    {
        ObjectReader reader = Read("""{ "tolerancDb": 3 }""");
        _ = reader.Number("toleranceDb", new(0, 9));
        _ = reader.Number("bandHz", new(0, 9));
        reader.Finish();

        Fault fault = Assert.Single(_faults.Items);
        Assert.Equal("/tolerancDb", fault.Pointer);
        Assert.Equal("x.json at /tolerancDb: found the unknown key \"tolerancDb\"; allowed: the keys toleranceDb, bandHz. "
            + "Did you mean \"toleranceDb\"?", fault.Message);
    }

    [Fact]
    public void Read_KeyTwice_IsAFault()
    {
        _ = Read("""{ "a": 1, "a": 2 }""");

        Assert.Contains("the key \"a\" a second time", Assert.Single(_faults.Items).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Pointer_SpecialLetters_AreEscapedAsRfc6901Asks()
    {
        // RFC 6901, section 3: ~ is ~0 and / is ~1.
        Read("""{ "a/b~c": 1 }""").Finish();

        Assert.Equal("/a~1b~0c", Assert.Single(_faults.Items).Pointer);
    }

    [Theory]
    [InlineData("1e400", "above 0 mm, at most 5 mm")]
    [InlineData("-1", "found the number -1")]
    [InlineData("0", "above 0 mm")]
    [InlineData("6", "at most 5 mm")]
    [InlineData("\"3\"", "Numbers stand without quotation marks")]
    [InlineData("null", "found null")]
    [InlineData("[3]", "found a list [3]")]
    public void Number_OutOfRangeOrWrongKind_IsAFault(string value, string said)
    {
        ObjectReader reader = Read($$"""{ "a": {{value}} }""");

        Assert.Null(reader.Number("a", NumberRange.Positive(5, "mm")));
        Assert.Contains(said, Assert.Single(_faults.Items).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void RequiredNumber_Missing_IsAFaultAtTheObject()
    {
        Assert.True(double.IsNaN(Read("""{ "hz": 2, "dbb": 1 }""").RequiredNumber("db", new(-9, 9, "dB"))));

        Fault fault = Assert.Single(_faults.Items);
        Assert.Equal("", fault.Pointer);
        Assert.Contains("no key \"db\"", fault.Message, StringComparison.Ordinal);
        Assert.Contains("from -9 dB to 9 dB", fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("1.5")]
    [InlineData("-1")]
    [InlineData("1e30")]
    [InlineData("true")]
    public void Whole_AnythingElse_IsAFault(string value)
    {
        Assert.Null(Read($$"""{ "a": {{value}} }""").Whole("a", 0, 100));
        Assert.Contains("a whole number from 0 to 100", Assert.Single(_faults.Items).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Choice_UnknownWord_NamesTheNearest()
    {
        Assert.Null(Read("""{ "a": "serial" }""").Choice("a", [("parallel", 1), ("series", 2)]));
        Assert.Contains("Did you mean \"series\"?", Assert.Single(_faults.Items).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Text_BrokenEscape_IsAFault()
    {
        ObjectReader reader = Read("""{ "a": "\ud800", "\ud800": 1 }""");

        Assert.Null(reader.Text("a"));
        reader.Finish();
        Assert.Equal(2, _faults.Count);
    }

    [Fact]
    public void Format_Unknown_NamesWhatIsAllowed()
    {
        Assert.Null(Read("""{ "format": "job/2" }""").Format("job/1"));
        Assert.Contains("found the text \"job/2\"; allowed: \"job/1\"", Assert.Single(_faults.Items).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Number_TooSmallToDivideBy_IsAFault()
    {
        Assert.Null(Read("""{ "a": 1e-300 }""").Number("a", NumberRange.Positive(1000)));
        Assert.Contains("nothing that could be built", Assert.Single(_faults.Items).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Faults_BeyondTheMost_AreCounted()
    {
        Read($"{{ {string.Join(',', Enumerable.Range(0, 500).Select(k => $"\"k{k}\": 0"))} }}").Finish();
        Reading<string> reading = _faults.End("value");

        Assert.Null(reading.Value);
        Assert.Equal(FaultList.Most + 1, reading.Faults.Count);
        Assert.Contains("300 more faults", reading.Faults[^1].Message, StringComparison.Ordinal);
    }

    private ObjectReader Read(string text) => JsonSource.Parse("x.json", Encoding.UTF8.GetBytes(text), _faults)!.AsObject()!;
}
