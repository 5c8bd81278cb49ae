namespace XoverOpt.Workshop.Tests;

public sealed class FileCheckTests : IDisposable
{
    private readonly JobDesk _desk = new();

    public void Dispose() => _desk.Dispose();

    [Fact]
    public void Check_GoodFiles_HaveNoFaults()
    {
        Assert.Empty(FileCheck.Check(_desk.Root, _desk.Root));
        Assert.Empty(FileCheck.Check(Path.Combine(_desk.Root, "stock.json"), _desk.Root));
        Assert.Empty(FileCheck.Check(_desk.Write("one.json", JobDesk.Receiver("A", "low")), _desk.Root));
        Assert.Empty(FileCheck.Check(_desk.Write("jobs/job.json", JobDesk.SmallestJob), _desk.Root));
    }

    [Theory]
    [InlineData("""{ "format": "jbo/1" }""", "Did you mean \"job/1\"?")]
    [InlineData("""{ "format": "job/1", "inventory": "../driverlib" }""", "no key \"target\"")]
    [InlineData("""[ { "format": "damper/1", "partNumber": "X", "ohmCgs": 0 } ]""", "at /0/ohmCgs: found the number 0")]
    [InlineData("""{ "format": "tubing/1", "partNumber": "X" }""", "no key \"boreMm\"")]
    [InlineData("5", "found the number 5; allowed: an object, or a list of stock items")]
    [InlineData("", "found no text at all")]
    [InlineData("{", "a syntax error in line 1, column 2")]
    public void Check_BadFile_ListsItsFault(string text, string said) =>
        Assert.Contains(said, Assert.Single(FileCheck.Check(_desk.Write("jobs/file.json", text), _desk.Root)).Message, StringComparison.Ordinal);

    [Fact]
    public void Check_MissingFile_SaysSo() =>
        Assert.Contains("no such file", Assert.Single(FileCheck.Check(Path.Combine(_desk.Root, "none.json"), _desk.Root)).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("LO-1", null)]
    [InlineData("LO-7", "LO-1")]
    public void Check_Build_LooksForItsReceiversInTheDrawer(string receiver, string? nearest)
    {
        string drawer = _desk.Root;
        string build = _desk.Write("build.json", $$"""{ "format": "build/1", "ways": [ { "name": "low", "receiver": "{{receiver}}" } ] }""");

        IReadOnlyList<Fault> faults = FileCheck.Check(build, drawer);

        Assert.Equal(nearest is null, faults.Count == 0);
        Assert.All(faults, fault => Assert.Contains(nearest!, fault.Message, StringComparison.Ordinal));
    }

    [Fact]
    public void Check_BuildWithoutADrawer_SaysWhichIsMissing()
    {
        string build = _desk.Write("build.json", """{ "format": "build/1", "ways": [ { "name": "low", "receiver": "LO-1" } ] }""");
        Assert.Contains("nowhere", Assert.Single(FileCheck.Check(build, Path.Combine(_desk.Root, "nowhere"))).Message, StringComparison.Ordinal);
    }
}
