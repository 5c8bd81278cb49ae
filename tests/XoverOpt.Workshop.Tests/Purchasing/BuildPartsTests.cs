using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop.Purchasing;
using XoverOpt.Workshop.Tests.Inspection;

namespace XoverOpt.Workshop.Tests.Purchasing;

public class BuildPartsTests
{
    // Two ways to the same list: off the file's text, and from the read build by the bill of parts.
    [Fact]
    public void Of_ABuildFile_NamesAndCountsWhatTheBillOfPartsDoes()
    {
        (Earpiece earpiece, Problem problem) = DemoBuild.Read();
        string text = BuildFile.Write(new BuildEvaluation(problem).Judge(earpiece), problem, new BuildEvaluation(problem).Response(earpiece, [100, 1000]));

        IReadOnlyList<BuildPart> parts = BuildParts.Of(text);

        var bill = PartsBill.Of(earpiece, problem);
        Assert.Equal(
            bill.Lines.GroupBy(line => PartName.Of(line.Kind, line.PartNumber, line.Value))
                .Select(part => (part.Key, part.First().Kind, part.Sum(line => line.Pieces), part.First().Kind == PartKind.Tubing ? 1000 * (double?)part.Sum(line => line.Units) : null)),
            parts.Select(part => (part.Part, part.Kind, part.Pieces, part.LengthMm)));
        Assert.Contains(parts, part => part.Kind == PartKind.Tubing);
        Assert.Contains(parts, part => part.Kind == PartKind.Capacitor);
    }

    [Theory]
    [InlineData("")]
    [InlineData("{}")]
    [InlineData("[1]")]
    [InlineData("{\"ways\":7}")]
    [InlineData("{\"ways\":[{\"name\":\"low\"}]}")]
    [InlineData("{\"ways\":[{\"receiver\":\"a\",\"network\":[{\"ohm\":\"x\"}]}]}")]
    public void Of_NoBuildFile_IsNothing(string text) => Assert.Empty(BuildParts.Of(text));

    [Theory]
    [InlineData("resistor 39 ohm", "resistor 39 Ω")]
    [InlineData(" resistor  39 \u2126 ", "resistor 39 Ω")]
    [InlineData("capacitor 4.7 uF", "capacitor 4.7 µF")]
    [InlineData("capacitor 4.7 \u03bcf", "capacitor 4.7 µF")]
    [InlineData("coil 0.47 MH", "coil 0.47 mH")]
    [InlineData("damper 680 cgs Ohm", "damper 680 cgs Ω")]
    [InlineData("OHM", "OHM")]
    [InlineData("OS-L2", "OS-L2")]
    public void OfTyped_AsPeopleTypeIt_IsTheOneName(string typed, string name) => Assert.Equal(name, PartName.OfTyped(typed));
}
