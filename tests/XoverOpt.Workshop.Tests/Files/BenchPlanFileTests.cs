using System.Text;

namespace XoverOpt.Workshop.Tests;

public class BenchPlanFileTests
{
    [Fact]
    public void ReadPosted_PublishedExample_IsThePlan()
    {
        BenchPlanDocument plan = BenchPlanFile.ReadPosted(Encoding.UTF8.GetBytes(SchemaExamples.BenchPlan)).Value!;

        Assert.Equal(("Before the tour", (DateOnly?)new DateOnly(2031, 3, 31), 2, 1m), (plan.Name, plan.NeededBy, plan.EarpiecesPerSet, plan.CutLossMm));
        Assert.Equal(new BenchPlanBuild("out/stage/builds/02.json", "jobs/stage.json", null, null, 25, 2), plan.Builds[0]);
        Assert.Equal(new BenchPlanBuild(null, null, "019a7c52", 2, 10, 1), plan.Builds[1]);
    }

    [Theory]
    [InlineData("\"builds\": []", "/builds", "at least 1")]
    [InlineData("\"builds\": [ { \"run\": \"x\", \"sets\": 2 } ]", "/builds/0", "rank")]
    [InlineData("\"builds\": [ { \"build\": \"x\", \"sets\": 2 } ]", "/builds/0", "job")]
    [InlineData("\"builds\": [ { \"run\": \"x\", \"rank\": 1, \"sets\": 0 } ]", "/builds/0/sets", "from 1")]
    [InlineData("\"neededBy\": \"15.12.2031\", \"builds\": [ { \"run\": \"x\", \"rank\": 1, \"sets\": 1 } ]", "/neededBy", "2026-12-15")]
    public void ReadPosted_WrongPlan_IsAFaultAtItsPlace(string keys, string pointer, string words)
    {
        Fault fault = Assert.Single(BenchPlanFile.ReadPosted(Encoding.UTF8.GetBytes($"{{ \"format\": \"bench-plan/1\", {keys} }}")).Faults);

        Assert.Equal(pointer, fault.Pointer);
        Assert.Contains(words, fault.Allowed, StringComparison.Ordinal);
    }
}
