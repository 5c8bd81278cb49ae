using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Tests;
using XoverOpt.Search;
using XoverOpt.Workshop.Paperwork;

namespace XoverOpt.Workshop.Tests;

/// <summary>Schematic and assembly of any build: no label meets another, none crosses a symbol or a wire, everything is on the paper.</summary>
public class DrawingLayoutTests
{
    [Fact]
    public void Drawings_AThousandLegalBuildsOfTheDemoJobs_KeepLabelsApart()
    {
        string[] faults = [.. LegalBuilds.DemoJobs().SelectMany((job, n) => new LegalBuilds(job.Problem, (ulong)n + 1).Take(200).SelectMany((build, at) =>
            Faults(build, receiver => job.Inventory.Receiver(receiver.PartNumber)?.Body).Select(fault => $"{job.Problem.Name} {at}: {fault}")))];

        Assert.Empty(faults);
    }

    [Fact]
    public void Drawings_AThousandBuildsOfEveryKindOfSection_KeepLabelsApart()
    {
        string[] faults = [.. new RandomEarpieces(77).Take(1000).SelectMany((build, at) =>
            Faults(build.Earpiece, SomeBody).Select(fault => $"{at}: {fault}"))];

        Assert.Empty(faults);
    }

    [Theory]
    [InlineData(1, 12)]
    [InlineData(9, 3)]
    [InlineData(40, 1)]
    public void Drawings_ManyReceiversSectionsAndLongNames_KeepLabelsApart(int count, int sections)
    {
        Receiver receiver = new RandomEarpieces(3).Next().Earpiece.Ways[0].Receiver with { PartNumber = string.Concat(Enumerable.Repeat("WWW-長い-<&>", 12)) };
        NetworkSection[] network = [.. Enumerable.Range(0, sections).Select(n => new NetworkSection(n % 2 == 0 ? SectionPlace.Shunt : SectionPlace.Series, 123.456789, 0.000123456, 0.0123456))];
        TubeSegment[] tube = [.. Enumerable.Range(0, 6).Select(n => new TubeSegment(0.5e-3, 1e-3 + (n * 1e-4)))];
        Way[] ways = [.. Enumerable.Range(0, 8).Select(n => new Way(new string('W', 10 * n) + "x", receiver, count, n % 2 == 0 ? Wiring.Series : Wiring.Parallel, n % 3 == 0 ? Polarity.Inverted : Polarity.Normal, network, n % 2 * 1e8, tube))];

        Assert.Empty(Faults(new(ways), _ => null));
    }

    [Fact]
    public void Faults_OfAPictureWhereThingsMeet_NamesEachOfThem()
    {
        SvgDrawing drawing = new("test", "t", "d");
        drawing.Text(10, 20, "39 Ω");
        drawing.Text(30, 22, "100 µF");
        drawing.Text(200, 20, "across the wire");
        drawing.Wire(180, 18, 400, 18);
        drawing.Text(95, 60, "beyond the edge", Anchor.End);

        string[] faults = [.. new DrawnPicture(drawing.Svg(new(0, 0, 300, 100))).Faults(drawing.Symbols)];

        Assert.Contains(faults, fault => fault.StartsWith("'39 Ω'", StringComparison.Ordinal) && fault.Contains("meets '100 µF'", StringComparison.Ordinal));
        Assert.Contains(faults, fault => fault.StartsWith("'across the wire'", StringComparison.Ordinal) && fault.Contains("crosses", StringComparison.Ordinal));
        Assert.Contains(faults, fault => fault.StartsWith("'beyond the edge'", StringComparison.Ordinal) && fault.Contains("leaves", StringComparison.Ordinal));
        Assert.Contains(faults, fault => fault.Contains("Width = 220", StringComparison.Ordinal) && fault.Contains("leaves", StringComparison.Ordinal));
    }

    [Fact]
    public void Lanes_LabelsWiderThanTheirDistance_GoDownByOneEach()
    {
        Assert.Equal([2, 1, 0], CalloutLanes.Of([(0, 50), (10, 50), (20, 50)], 5));
        Assert.Equal([0, 1, 0], CalloutLanes.Of([(0, 50), (100, 50), (120, 50)], 5));
        // The second reaches down through the lanes above its own, so that the first may not end behind its leader.
        Assert.Equal([2, 1, 0], CalloutLanes.Of([(80, 25), (100, 50), (120, 50)], 5));
    }

    /// <summary>A size that goes with the receiver, or none for some: the same whenever it is asked for.</summary>
    private static Body? SomeBody(Receiver receiver)
    {
        Random random = new((int)(receiver.Mass * 1e12));
        return random.Next(4) == 0 ? null : new Body(random.Next(3, 10) * 1e-3, random.Next(2, 5) * 1e-3, random.Next(1, 4) * 1e-3);
    }

    private static IEnumerable<string> Faults(Earpiece earpiece, Func<Receiver, Body?> bodies)
    {
        SvgDrawing schematic = NetworkSchematic.Draw(earpiece);
        (SvgDrawing assembly, _) = AssemblyDrawing.Fitting(earpiece, bodies, 180, 170);
        DrawnPicture drawn = new(NetworkSchematic.Svg(earpiece));
        // The numbers of the receivers that are drawn, and of every part of the networks, are all on the paper.
        IReadOnlyList<NumberedPart> parts = NumberedPart.Of(earpiece);
        IEnumerable<string> missing = parts.Where(part => part.Section >= 0).Select(part => part.Designator)
            .Concat(parts.Where(part => part.Kind == PartKind.Receiver && earpiece.Ways[part.Way].Count <= 4).Select(part => part.Designator))
            .Except(drawn.Labels.Select(label => label.Text)).Select(name => $"{name} is missing");
        return drawn.Faults(schematic.Symbols).Concat(missing).Select(fault => "schematic: " + fault)
            .Concat(new DrawnPicture(AssemblyDrawing.Svg(earpiece, bodies, 180, 170)).Faults(assembly.Symbols).Select(fault => "assembly: " + fault));
    }
}
