namespace XoverOpt.Search.Tests;

/// <summary>Layouts counted one by one, straight from the job, against what the space says.</summary>
public class LayoutSpaceTests
{
    public static TheoryData<string> Cases => ["none", "receivers", "volume", "cost", "stock", "all", "impossible"];

    [Theory]
    [MemberData(nameof(Cases))]
    public void Counts_UnderLimits_AreThoseOfBruteForce(string name)
    {
        Problem problem = SmallProblem.ThreeWay() with { Limits = LimitsOf(name) };
        var space = new LayoutSpace(problem);

        (long total, long allowed) = BruteForce(problem);

        Assert.Equal(total, space.Total);
        Assert.Equal(allowed, space.Allowed);
        Assert.Equal(space.Total, space.Allowed + space.Exclusions.Sum(exclusion => exclusion.Layouts));
        Assert.All(space.Exclusions, exclusion => Assert.True(exclusion.Layouts > 0));
        Assert.Equal(allowed, Enumerable.Range(0, (int)space.Total).Count(place => space.Allows(space.At(place))));
        Assert.Equal(name == "impossible", allowed == 0);
        Assert.Equal(name != "none", allowed < total);
    }

    [Theory]
    [InlineData("receivers", "limits.maxReceivers")]
    [InlineData("volume", "limits.shellVolumeMm3")]
    [InlineData("cost", "limits.maxPartsCost")]
    [InlineData("stock", "limits.stockOnly")]
    public void Exclusions_OfOneLimit_NameIt(string name, string limit)
    {
        var space = new LayoutSpace(SmallProblem.ThreeWay() with { Limits = LimitsOf(name) });

        Exclusion exclusion = Assert.Single(space.Exclusions);
        Assert.StartsWith(limit, exclusion.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void At_EveryPlace_IsADifferentLayout()
    {
        var space = new LayoutSpace(SmallProblem.TwoWay());

        Assert.Equal((int)space.Total, Enumerable.Range(0, (int)space.Total).Select(place => space.At(place).Key).Distinct().Count());
    }

    [Fact]
    public void Draw_UnderLimits_GivesAllowedLayoutsOnlyAndAllOfThem()
    {
        var space = new LayoutSpace(SmallProblem.TwoWay() with { Limits = LimitsOf("cost") with { MaxPartsCost = 26 } });
        var random = new Random64(4);
        var drawn = new HashSet<string>();
        for (int i = 0; i < 2000; i++)
        {
            Layout layout = space.Draw(random)!;
            Assert.True(space.Allows(layout));
            drawn.Add(layout.Key);
        }

        Assert.Equal(space.Allowed, drawn.Count);
    }

    [Fact]
    public void Family_SameReceiversAndCounts_IsTheSameWhateverElse()
    {
        Problem problem = SmallProblem.ThreeWay();
        var space = new LayoutSpace(problem);
        var random = new Random64(12);
        for (int i = 0; i < 300; i++)
        {
            Layout a = space.Draw(random)!, b = space.Draw(random)!;
            bool alike = Enumerable.Range(0, 3).All(way =>
                space.Option(a, way).Receiver == space.Option(b, way).Receiver && space.Option(a, way).Count == space.Option(b, way).Count);
            Assert.Equal(alike, space.Family(a) == space.Family(b));
        }
    }

    [Fact]
    public void Search_NothingAllowed_IsDoneAtOnceWithoutBuilds()
    {
        var search = new LayoutSearch(SmallProblem.ThreeWay() with { Limits = LimitsOf("impossible") });

        Assert.True(search.Done);
        Assert.Empty(search.Outstanding);
        Assert.Empty(search.Result().Builds);
        Assert.NotEmpty(search.Result().Exclusions);
        Assert.Equal(0, search.Result().Evaluations);
    }

    [Fact]
    public void WithBores_PlacesInRisingOrder_ChangesThoseBoresAndNothingElse()
    {
        Problem problem = SmallProblem.ThreeWay();
        // The list of the first way falls: a place counts in rising order all the same.
        problem = problem with { Ways = [problem.Ways[0] with { Bores = [.. problem.Ways[0].Bores.Reverse()] }, .. problem.Ways.Skip(1)] };
        var space = new LayoutSpace(problem);
        Assert.Equal(4, space.BoreShades);
        var random = new Random64(12);
        for (int trial = 0; trial < 50; trial++)
        {
            Layout layout = space.Draw(random)!;
            int low = random.Below(2), high = random.Below(2);
            Layout other = space.WithBores(layout, new Dictionary<int, int> { [0] = low, [2] = high });

            Assert.Equal(low == 0 ? 1e-3 : 1.5e-3, problem.Ways[0].Bores[space.Option(other, 0).Bore].Value);
            Assert.Equal(high == 0 ? 1.5e-3 : 2e-3, problem.Ways[2].Bores[space.Option(other, 2).Bore].Value);
            Assert.Equal(layout.Options[1], other.Options[1]);
            Assert.All(new[] { 0, 2 }, way => Assert.Equal(space.Option(layout, way), space.Option(other, way) with { Bore = space.Option(layout, way).Bore }));
            Assert.Equal(layout.Options[0], space.WithBores(layout, new Dictionary<int, int> { [2] = high }).Options[0]);
        }
    }

    private static Limits LimitsOf(string name) => name switch
    {
        "receivers" => new Limits { MaxReceivers = 4 },
        "volume" => new Limits { ShellVolume = 250e-9 },
        "cost" => new Limits { MaxPartsCost = 38 },
        "stock" => new Limits { StockOnly = true, Sets = 3 },
        "all" => new Limits { MaxReceivers = 5, ShellVolume = 320e-9, MaxPartsCost = 45, StockOnly = true, Sets = 3 },
        "impossible" => new Limits { MaxReceivers = 2 },
        _ => new Limits(),
    };

    private static (long Total, long Allowed) BruteForce(Problem problem)
    {
        long total = 0, allowed = 0;
        void Walk(int way, List<(StockReceiver Receiver, int Count)> chosen)
        {
            if (way == problem.Ways.Count)
            {
                total++;
                allowed += Keeps(problem.Limits, chosen) ? 1 : 0;
                return;
            }

            WayChoice choice = problem.Ways[way];
            // All ways may be turned over here, which nobody hears, so the first stays as it is; one receiver has no wiring.
            int polarities = way == 0 ? 1 : choice.Polarities.Count;
            foreach (StockReceiver receiver in choice.Receivers)
            {
                foreach (int count in choice.Counts)
                {
                    int shades = (count == 1 ? 1 : choice.Wirings.Count) * polarities * choice.Networks.Count * choice.Bores.Count;
                    for (int shade = 0; shade < shades; shade++)
                    {
                        Walk(way + 1, [.. chosen, (receiver, count)]);
                    }
                }
            }
        }

        Walk(0, []);
        return (total, allowed);
    }

    private static bool Keeps(Limits limits, List<(StockReceiver Receiver, int Count)> chosen) =>
        !(chosen.Sum(pair => pair.Count) > limits.MaxReceivers)
        && !(chosen.Sum(pair => pair.Count * pair.Receiver.Body!.Length * pair.Receiver.Body.Width * pair.Receiver.Body.Height) > limits.ShellVolume)
        && !(chosen.Sum(pair => pair.Count * pair.Receiver.Supply!.UnitPrice) > limits.MaxPartsCost)
        && (!limits.StockOnly || chosen.GroupBy(pair => pair.Receiver).All(part => part.Sum(pair => pair.Count) * 2 * limits.Sets <= part.Key.Supply!.Stock));
}
