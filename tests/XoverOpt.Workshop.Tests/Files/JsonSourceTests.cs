using System.Text;

namespace XoverOpt.Workshop.Tests;

public class JsonSourceTests
{
    [Fact]
    public void Parse_CommentsTrailingCommasAndMark_AreAccepted()
    {
        FaultList faults = new();

        JsonCursor? at = Parse("\uFEFF{ // why\n \"a\": [1, 2,], }", faults);

        Assert.Empty(faults.Items);
        Assert.Equal([1.0, 2.0], at!.AsObject()!.RequiredList("a")!.Select(item => item.AsNumber(new(0, 9)) ?? double.NaN));
    }

    [Fact]
    public void Parse_NaN_IsASyntaxFaultWithLineAndColumn()
    {
        Fault fault = OneFault("{\n  \"a\": NaN }");

        Assert.Contains("line 2, column 8", fault.Message, StringComparison.Ordinal);
        Assert.Contains("NaN and Infinity are no JSON numbers", fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Parse_Utf16_IsRefusedByName(bool bigEndian)
    {
        UnicodeEncoding encoding = new(bigEndian, byteOrderMark: true);
        foreach (byte[] bytes in new[] { [.. encoding.GetPreamble(), .. encoding.GetBytes("{}")], encoding.GetBytes("{}") })
        {
            FaultList faults = new();

            Assert.Null(JsonSource.Parse("x.json", bytes, faults));
            Assert.Contains("UTF-16", Assert.Single(faults.Items).Message, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("")]
    [InlineData(" \r\n")]
    public void Parse_NoText_IsSaidInThoseWords(string text) => Assert.Contains("no text at all", OneFault(text).Message, StringComparison.Ordinal);

    [Fact]
    public void Parse_Latin1_IsRefused()
    {
        FaultList faults = new();

        Assert.Null(JsonSource.Parse("x.json", new byte[] { (byte)'"', 0xE9, (byte)'"' }, faults));
        Assert.Contains("not UTF-8", Assert.Single(faults.Items).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Parse_TenMegabytesOfBrackets_IsTooLong()
    {
        Fault fault = OneFault(new string('[', 10_000_000));

        Assert.Contains("at most 8388608 bytes (8 MB)", fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(65)]
    [InlineData(8_000_000)]
    public void Parse_TooDeep_IsRefused(int brackets)
    {
        Fault fault = OneFault(new string('[', brackets));

        Assert.Contains("nested at most 64 deep", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Parse_SixtyFourDeep_IsAccepted()
    {
        FaultList faults = new();

        Assert.NotNull(Parse(new string('[', 64) + new string(']', 64), faults));
        Assert.Empty(faults.Items);
    }

    [Fact]
    public void Open_MissingFile_SaysSo()
    {
        FaultList faults = new();

        Assert.Null(JsonSource.Open(Path.Combine("nowhere", "none.json"), faults));
        Assert.Contains("no such file", Assert.Single(faults.Items).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Open_Folder_SaysSo()
    {
        FaultList faults = new();

        Assert.Null(JsonSource.Open(AppContext.BaseDirectory, faults));
        Assert.Contains("a folder", Assert.Single(faults.Items).Message, StringComparison.Ordinal);
    }

    private static JsonCursor? Parse(string text, FaultList faults) => JsonSource.Parse("x.json", Encoding.UTF8.GetBytes(text), faults);

    private static Fault OneFault(string text)
    {
        FaultList faults = new();
        Assert.Null(Parse(text, faults));
        return Assert.Single(faults.Items);
    }
}
