using System.Text;
using static XoverOpt.Workshop.Tests.BuildFileFixture;

namespace XoverOpt.Workshop.Tests;

public class BuildFileFaultsTests
{
    private const string Smallest = """{ "format": "build/1", "ways": [ { "name": "low", "receiver": "OS-L2" } ] }""";

    [Fact]
    public void Read_SmallestBuild_HasPlainDefaults()
    {
        BuildDocument document = Read(Smallest).Value!;

        var way = Assert.Single(document.Earpiece.Ways);
        Assert.Same(Low, way.Receiver);
        Assert.Equal((1, 0, 0, 0.0), (way.Count, way.Network.Count, way.Tube.Count, way.DamperResistance));
        Assert.Null(document.Rank);
        Assert.Null(document.Cost);
        Assert.Null(document.Response);
        Assert.Empty(document.Figures);
    }

    [Fact]
    public void Read_HandWrittenWithCommentsAndTrailingCommas_IsGood() =>
        Assert.Empty(Read(Smallest.Replace("\"OS-L2\" }", "\"OS-L2\", }, // the low one\n", StringComparison.Ordinal)).Faults);

    [Theory]
    [InlineData("\"receiver\": \"OS-L2\"", "\"receiver\": \"OS-L3\"", "/ways/0/receiver", "OS-L2")]
    [InlineData("\"receiver\"", "\"reciever\"", "/ways/0/reciever", "receiver")]
    [InlineData("\"receiver\": \"OS-L2\"", "\"receiver\": \"OS-L2\", \"polarity\": \"invert\"", "/ways/0/polarity", "inverted")]
    [InlineData("\"format\": \"build/1\"", "\"format\": \"build/2\"", "/format", "build/1")]
    public void Read_SlipOfThePen_NamesTheNearest(string old, string changed, string pointer, string nearest)
    {
        IReadOnlyList<Fault> faults = Read(Smallest.Replace(old, changed, StringComparison.Ordinal)).Faults;

        Fault fault = Assert.Single(faults, fault => fault.Pointer == pointer);
        Assert.Contains(nearest, fault.Hint, StringComparison.Ordinal);
        Assert.Equal("b.json", fault.File);
    }

    [Theory]
    [InlineData("\"count\": 0", "/ways/0/count")]
    [InlineData("\"count\": 1.5", "/ways/0/count")]
    [InlineData("\"damperOhmCgs\": -1", "/ways/0/damperOhmCgs")]
    [InlineData("\"tube\": [ { \"lengthMm\": 10, \"boreMm\": 0 } ]", "/ways/0/tube/0/boreMm")]
    [InlineData("\"tube\": [ { \"lengthMm\": 1000, \"boreMm\": 1 } ]", "/ways/0/tube/0/lengthMm")]
    [InlineData("\"network\": [ { \"place\": \"series\", \"kind\": \"resistor\", \"ohm\": 0 } ]", "/ways/0/network/0/ohm")]
    [InlineData("\"network\": [ { \"place\": \"series\", \"kind\": \"resistor\" } ]", "/ways/0/network/0")]
    [InlineData("\"network\": [ { \"place\": \"across\", \"kind\": \"coil\", \"millihenry\": 1 } ]", "/ways/0/network/0/place")]
    [InlineData("\"network\": [ { \"place\": \"shunt\", \"kind\": \"coil\", \"millihenry\": 1, \"ohm\": 5 } ]", "/ways/0/network/0/ohm")]
    [InlineData("\"network\": [ { \"place\": \"shunt\", \"kind\": \"capacitor\", \"microfarad\": \"1\" } ]", "/ways/0/network/0/microfarad")]
    public void Read_WhatCannotBeBuilt_IsRefusedWhereItStands(string members, string pointer)
    {
        Reading<BuildDocument> reading = Read(Smallest.Replace("\"OS-L2\"", "\"OS-L2\", " + members, StringComparison.Ordinal));

        Assert.Null(reading.Value);
        Assert.Equal(pointer, Assert.Single(reading.Faults).Pointer);
    }

    [Fact]
    public void Read_SeveralFaults_AreToldAtOnce()
    {
        string text = """
            { "format": "build/1", "rank": -1, "colour": "red", "ways": [
                { "name": "low", "receiver": "nobody's", "count": 0 },
                { "name": "low", "receiver": "OS-L2" }, { "name": "low", "receiver": "OS-H1" }, 7 ],
              "response": { "hz": [100, 50], "pressureRe": [1], "pressureIm": [1, 2], "impedanceRe": [1, 2], "impedanceIm": [1, "x"], "ways": [] } }
            """;

        string[] pointers = [.. Read(text).Faults.Select(fault => fault.Pointer).Order(StringComparer.Ordinal)];

        Assert.Equal(
            ["/colour", "/rank", "/response/hz", "/response/impedanceIm/1", "/response/pressureRe", "/ways/0/count", "/ways/0/receiver", "/ways/2/name", "/ways/3"],
            pointers);
    }

    [Theory]
    [InlineData("")]
    [InlineData("[]")]
    [InlineData("{ \"format\": \"build/1\" }")]
    [InlineData("{ \"format\": \"build/1\", \"ways\": [] }")]
    [InlineData("{ \"format\": \"job/1\", \"ways\": [ { \"name\": \"low\", \"receiver\": \"OS-L2\" } ] }")]
    public void Read_NoBuild_IsRefused(string text)
    {
        Reading<BuildDocument> reading = Read(text);

        Assert.False(reading.IsGood);
        Assert.NotEmpty(reading.Faults);
    }

    [Fact]
    public void Read_FromAnInventory_FindsItsReceivers()
    {
        using JobDesk desk = new();
        Inventory inventory = InventoryFile.Read(desk.Root).Value!;

        Reading<BuildDocument> good = BuildFile.Read(Encoding.UTF8.GetBytes(Smallest.Replace("OS-L2", "LO-1", StringComparison.Ordinal)), "b.json", inventory);
        Reading<BuildDocument> bad = BuildFile.Read(Encoding.UTF8.GetBytes(Smallest.Replace("OS-L2", "HI-3", StringComparison.Ordinal)), "b.json", inventory);

        Assert.Same(inventory.Receiver("LO-1")!.Receiver, good.Value!.Earpiece.Ways[0].Receiver);
        Assert.Contains("HI-", Assert.Single(bad.Faults).Hint, StringComparison.Ordinal);
    }
}
