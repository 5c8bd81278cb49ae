using System.Globalization;
using XoverOpt.Acoustics;
using XoverOpt.Workshop.Paperwork;

namespace XoverOpt.Workshop.Tests;

public class SchematicTests
{
    [Fact]
    public void Designators_OfEveryPart_AreThoseOfTheNetlistWithItsValues()
    {
        foreach ((JobDocument job, int n) in LegalBuilds.DemoJobs().Select((job, n) => (job, n)))
        {
            foreach (Earpiece earpiece in new LegalBuilds(job.Problem, (ulong)n + 50).Take(20))
            {
                string[] netlist = SpiceNetlist.Write("x", earpiece, job.Problem.Ear, job.Problem.Source).Split('\n');
                foreach (NumberedPart part in NumberedPart.Of(earpiece).Where(part => part.Section >= 0))
                {
                    string line = Assert.Single(netlist, line => line.StartsWith(part.Designator + " ", StringComparison.Ordinal));
                    Assert.Equal(part.Value, double.Parse(line.Split(' ')[3], CultureInfo.InvariantCulture));
                }
            }
        }
    }

    [Fact]
    public void Svg_Sample_ShowsValuesWithUnitsAndWhichLeadIsMarked()
    {
        Earpiece earpiece = BuildFileFixture.Sample;
        DrawnPicture drawn = new(NetworkSchematic.Svg(earpiece));

        foreach (NumberedPart part in NumberedPart.Of(earpiece).Where(part => part.Section >= 0))
        {
            Assert.Contains(drawn.Labels, label => label.Text == part.Text);
        }

        Assert.Equal(earpiece.Ways.Sum(way => way.Count), drawn.Elements("circle").Count(circle => (string?)circle.Attribute("class") == "mark"));
        Assert.Contains(drawn.Labels, label => label.Text.Contains("leads", StringComparison.Ordinal));
    }

    [Fact]
    public void Svg_OneReceiverTurnedOver_HasItsMarkAtTheReturnAndSaysSo()
    {
        Way way = BuildFileFixture.Sample.Ways[0] with { Count = 1, Polarity = Polarity.Normal };
        DrawnPicture normal = new(NetworkSchematic.Svg(new([way]))), turned = new(NetworkSchematic.Svg(new([way with { Polarity = Polarity.Inverted }])));

        double Mark(DrawnPicture drawn) => (double)drawn.Elements("circle").Single(circle => (string?)circle.Attribute("class") == "mark").Attribute("cy")!;
        Assert.True(Mark(turned) > Mark(normal) + 15);
        Assert.Contains(turned.Labels, label => label.Text.EndsWith("leads turned over", StringComparison.Ordinal));
    }
}
