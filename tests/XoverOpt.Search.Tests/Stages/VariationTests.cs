namespace XoverOpt.Search.Tests;

/// <summary>Neighbours of a layout, against going through all layouts.</summary>
public class VariationTests
{
    [Fact]
    public void Neighbours_OfLayouts_AreAllThatDifferInOnePropertyOfOneWay()
    {
        Problem problem = SmallProblem.ThreeWay();
        var space = new LayoutSpace(problem);
        var random = new Random64(5);
        for (int trial = 0; trial < 5; trial++)
        {
            Layout layout = space.Draw(random)!;
            string[] expected = [.. Enumerable.Range(0, (int)space.Total).Select(place => space.At(place)).Where(other => Differences(space, layout, other) == 1).Select(other => other.Key)];
            string[] found = [.. Variation.Neighbours(space, layout).Select(other => other.Key)];

            Assert.Distinct(found);
            Assert.Equal(expected.Order(StringComparer.Ordinal), found.Order(StringComparer.Ordinal));
        }
    }

    [Fact]
    public void Carry_ToAnotherNetwork_KeepsWhatBothHave()
    {
        Problem problem = SmallProblem.TwoWay();
        var space = new LayoutSpace(problem);
        Layout from = All(space).First(layout => space.Option(layout, 0).Network == 0);
        Layout to = Variation.Neighbours(space, from).First(layout => space.Option(layout, 0).Network == 1);
        // Low: resistor, capacitor, damper, length; high: capacitor, damper, length.
        var parent = new Found(from.Options, [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7], 1, 1, 1);

        Assert.Equal([0.1, 0.3, 0.4, 0.5, 0.6, 0.7], Variation.Carry(space, problem, parent, to));
        var child = new Found(to.Options, [0.1, 0.3, 0.4, 0.5, 0.6, 0.7], 1, 1, 1);
        Assert.Equal([0.1, 0.5, 0.3, 0.4, 0.5, 0.6, 0.7], Variation.Carry(space, problem, child, from));
    }

    private static IEnumerable<Layout> All(LayoutSpace space) => Enumerable.Range(0, (int)space.Total).Select(place => space.At(place));

    private static int Differences(LayoutSpace space, Layout a, Layout b) => Enumerable.Range(0, a.Options.Length).Sum(way =>
    {
        (WayOption here, WayOption there) = (space.Option(a, way), space.Option(b, way));
        bool[] same =
        [
            here.Receiver == there.Receiver, (here.Count, here.Wiring) == (there.Count, there.Wiring), here.Polarity == there.Polarity,
            here.Network == there.Network, here.Bore == there.Bore,
        ];
        return same.Count(equal => !equal);
    });
}
