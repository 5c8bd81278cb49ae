using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Worker.Analyses;

/// <summary>A bench plan and what it lets one say.</summary>
/// <param name="Name">What the plan is called.</param>
/// <param name="Answer">Whether all of it can be built by that day, in words.</param>
/// <param name="Solver">What found the mix, and what it maximises.</param>
/// <param name="Plan">The plan.</param>
public sealed record BenchPlanView(string Name, string Answer, string Solver, BenchPlan Plan)
{
    /// <summary>The view of a plan.</summary>
    public static BenchPlanView Of(string name, BenchPlan plan) =>
        new(name, PartsAnswer.Of(plan.Together, plan.SetsToday), "CP-SAT of OR-Tools: most sets, each counted by the priority of its build; on equal terms more of what the plan names first", plan);
}
