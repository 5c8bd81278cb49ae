using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop.Paperwork;

namespace XoverOpt.Workshop.Tests;

public class AssemblyTests
{
    /// <summary>ISO 5455 gives the enlargements; a CSS pixel is 1/96 inch (CSS Values and Units, 5.2).</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(5)]
    [InlineData(10)]
    public void Draw_AtAScale_MeasuresTubesSpoutsBodiesAndBarAlike(int scale)
    {
        Way way = BuildFileFixture.Sample.Ways[0] with { Count = 1, Tube = [new(12.5e-3, 1.3e-3)] };
        SvgDrawing drawing = AssemblyDrawing.Draw(new([way]), _ => new Body(7e-3, 4e-3, 2.5e-3), scale);
        DrawnPicture drawn = new(drawing.Svg(new(-50, -50, 3000, 3000)));

        System.Xml.Linq.XElement One(string kind) => drawn.Root.Descendants().Single(element => (string?)element.Attribute("class") == kind);
        double Mm(System.Xml.Linq.XElement element, string name) => (double)element.Attribute(name)! * 25.4 / 96 / scale;
        Assert.Equal(12.5, Mm(One("tube"), "width"), 2);
        Assert.Equal(1.3, Mm(One("tube"), "height"), 2);
        Assert.Equal(7, Mm(One("body"), "width"), 2);
        Assert.Equal(2.5, Mm(One("body"), "height"), 2);
        Assert.Equal(way.Receiver.SpoutLength * 1e3, Mm(One("spout"), "width"), 2);
        System.Xml.Linq.XElement bar = drawn.Elements("line").First(line => (string?)line.Attribute("class") == "bar");
        int stated = scale == 10 ? 5 : 10;
        Assert.Equal(stated, Mm(bar, "x2") - Mm(bar, "x1"), 2);
        Assert.Contains(drawn.Labels, label => label.Text == $"Scale {scale}:1 where the bar measures {stated * scale} mm.");
        Assert.Contains(drawn.Labels, label => label.Text == "T1  12.5 mm of 1.3 mm bore");
    }
}
